-- CreateTable
CREATE TABLE "duty_rule_set" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "valid_from" DATE NOT NULL,
    "document" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(6) NOT NULL,

    CONSTRAINT "duty_rule_set_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "duty_rule_set_producer_id_number_key" ON "duty_rule_set"("producer_id", "number");

-- Keys carry the producer: a single-column key would accept a row that row security hides.
ALTER TABLE "duty_rule_set" ADD CONSTRAINT "duty_rule_set_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "duty_rule_set" ADD CONSTRAINT "duty_rule_set_number_check" CHECK ("number" > 0);
