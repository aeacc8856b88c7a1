-- CreateTable
CREATE TABLE "plan" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "asked" JSONB NOT NULL,
    "computed" JSONB NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "plan_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE INDEX "plan_producer_id_lot_id_idx" ON "plan"("producer_id", "lot_id");

ALTER TABLE "plan" ADD CONSTRAINT "plan_lot_id_fkey" FOREIGN KEY ("producer_id", "lot_id") REFERENCES "lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
