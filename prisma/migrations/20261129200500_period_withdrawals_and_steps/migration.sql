-- CreateTable
CREATE TABLE "period_withdrawal" (
    "producer_id" UUID NOT NULL,
    "period_id" UUID NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "period_withdrawal_pkey" PRIMARY KEY ("producer_id","period_id")
);

-- CreateTable
CREATE TABLE "process_step" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "vessel_id" UUID,
    "kind" TEXT NOT NULL,
    "step" INTEGER,
    "temperature_c" DECIMAL(9,4),
    "duration_min" DECIMAL(12,3),
    "outcome" TEXT NOT NULL,
    "replaces" UUID,
    "person_id" UUID,
    "text_id" UUID,
    "done_at" TIMESTAMPTZ(6) NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "process_step_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE INDEX "process_step_producer_id_lot_id_done_at_idx" ON "process_step"("producer_id", "lot_id", "done_at");

-- CreateIndex
CREATE UNIQUE INDEX "process_step_producer_id_replaces_key" ON "process_step"("producer_id", "replaces");

ALTER TABLE "period_withdrawal" ADD CONSTRAINT "period_withdrawal_period_id_fkey" FOREIGN KEY ("producer_id", "period_id") REFERENCES "period" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "period_withdrawal" ADD CONSTRAINT "period_withdrawal_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "process_step" ADD CONSTRAINT "process_step_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "process_step" ADD CONSTRAINT "process_step_vessel_id_fkey" FOREIGN KEY ("producer_id", "vessel_id") REFERENCES "vessel" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "process_step" ADD CONSTRAINT "process_step_replaces_fkey" FOREIGN KEY ("producer_id", "replaces") REFERENCES "process_step" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "process_step" ADD CONSTRAINT "process_step_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "process_step" ADD CONSTRAINT "process_step_text_id_fkey" FOREIGN KEY ("producer_id", "text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "process_step" ADD CONSTRAINT "process_step_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");

-- A withdrawn period covers no moment, so that another may take its days: check_periods() refuses an overlap, under the producer's lock.
ALTER TABLE "period" DROP CONSTRAINT "period_no_overlap";
