-- CreateTable
CREATE TABLE "movement_proof" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "proof" TEXT NOT NULL,
    "person_id" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "movement_proof_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE INDEX "movement_proof_producer_id_operation_id_idx" ON "movement_proof"("producer_id", "operation_id");

ALTER TABLE "movement_proof" ADD CONSTRAINT "movement_proof_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "movement" ("producer_id", "operation_id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement_proof" ADD CONSTRAINT "movement_proof_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "movement_proof" ADD CONSTRAINT "movement_proof_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
