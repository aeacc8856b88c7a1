-- AlterTable
ALTER TABLE "premises" ADD COLUMN     "address" TEXT,
ADD COLUMN     "closing_down" JSONB;

-- CreateTable
CREATE TABLE "filing" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "period_id" UUID NOT NULL,
    "filed_on" DATE NOT NULL,
    "reference" TEXT NOT NULL,
    "amends" UUID,
    "person_id" UUID,
    "key_id" UUID NOT NULL,
    "text_id" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "filing_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE INDEX "filing_producer_id_period_id_idx" ON "filing"("producer_id", "period_id");

-- CreateIndex
CREATE UNIQUE INDEX "filing_producer_id_amends_key" ON "filing"("producer_id", "amends");

-- AddForeignKey
ALTER TABLE "filing" ADD CONSTRAINT "filing_period_id_fkey" FOREIGN KEY ("producer_id", "period_id") REFERENCES "period" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "filing" ADD CONSTRAINT "filing_amends_fkey" FOREIGN KEY ("producer_id", "amends") REFERENCES "filing" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "filing" ADD CONSTRAINT "filing_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "filing" ADD CONSTRAINT "filing_key_id_fkey" FOREIGN KEY ("producer_id", "key_id") REFERENCES "api_key" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "filing" ADD CONSTRAINT "filing_text_id_fkey" FOREIGN KEY ("producer_id", "text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "filing" ADD CONSTRAINT "filing_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
