-- CreateTable
CREATE TABLE "reading_confirmation" (
    "producer_id" UUID NOT NULL,
    "reading_id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "key_id" UUID NOT NULL,
    "person_id" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "reading_confirmation_pkey" PRIMARY KEY ("producer_id","reading_id","code")
);

-- AddForeignKey
ALTER TABLE "reading_confirmation" ADD CONSTRAINT "reading_confirmation_reading_id_fkey" FOREIGN KEY ("producer_id", "reading_id") REFERENCES "reading" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading_confirmation" ADD CONSTRAINT "reading_confirmation_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "reading_confirmation" ADD CONSTRAINT "reading_confirmation_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
