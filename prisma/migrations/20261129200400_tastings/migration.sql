-- CreateTable
CREATE TABLE "tasting" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "method" TEXT NOT NULL,
    "sides" INTEGER NOT NULL,
    "question" TEXT,
    "significance" DECIMAL(4,3) NOT NULL,
    "drinks" JSONB NOT NULL,
    "servings" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "tasting_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateTable
CREATE TABLE "tasting_answer" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "tasting_id" UUID NOT NULL,
    "serving" INTEGER NOT NULL,
    "chosen" TEXT NOT NULL,
    "person_id" UUID,
    "note_text_id" UUID,
    "created_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "tasting_answer_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "tasting_answer_producer_id_tasting_id_serving_key" ON "tasting_answer"("producer_id", "tasting_id", "serving");

ALTER TABLE "tasting" ADD CONSTRAINT "tasting_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "tasting" ADD CONSTRAINT "tasting_sides_check" CHECK ("sides" IN (1, 2));
ALTER TABLE "tasting_answer" ADD CONSTRAINT "tasting_answer_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "tasting_answer" ADD CONSTRAINT "tasting_answer_tasting_id_fkey" FOREIGN KEY ("producer_id", "tasting_id") REFERENCES "tasting" ("producer_id", "id");
ALTER TABLE "tasting_answer" ADD CONSTRAINT "tasting_answer_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "tasting_answer" ADD CONSTRAINT "tasting_answer_note_text_id_fkey" FOREIGN KEY ("producer_id", "note_text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;

-- Its answer has a column more; a function cannot be replaced by one of another shape.
DROP FUNCTION IF EXISTS authenticate(uuid, uuid);
