-- AlterTable
ALTER TABLE "movement" ADD COLUMN     "witness_text_id" UUID;

-- CreateTable
CREATE TABLE "stock_count" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "stock_take_id" UUID NOT NULL,
    "packaged_lot_id" UUID,
    "composition_id" UUID,
    "vessel_id" UUID,
    "book_litres" "litres" NOT NULL,
    "counted_litres" "litres" NOT NULL,
    "counted" INTEGER,
    "reason_code" TEXT,
    "text_id" UUID,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "stock_count_pkey" PRIMARY KEY ("producer_id","operation_id")
);

-- CreateTable
CREATE TABLE "transit" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "packaged_lot_id" UUID NOT NULL,
    "from_premises_id" UUID NOT NULL,
    "to_premises_id" UUID NOT NULL,
    "count" INTEGER NOT NULL,
    "litres" "litres" NOT NULL,
    "document" TEXT NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "transit_pkey" PRIMARY KEY ("producer_id","operation_id")
);

-- CreateIndex
CREATE INDEX "stock_count_producer_id_stock_take_id_idx" ON "stock_count"("producer_id", "stock_take_id");

-- CreateIndex
CREATE INDEX "stock_count_producer_id_packaged_lot_id_idx" ON "stock_count"("producer_id", "packaged_lot_id");

-- CreateIndex
CREATE INDEX "operation_producer_id_explains_idx" ON "operation"("producer_id", "explains");

-- Keys carry the producer: a single-column key would accept a row that row security hides.
ALTER TABLE "movement" ADD CONSTRAINT "movement_witness_text_id_fkey" FOREIGN KEY ("producer_id", "witness_text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_vessel_id_fkey" FOREIGN KEY ("producer_id", "vessel_id") REFERENCES "vessel" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_text_id_fkey" FOREIGN KEY ("producer_id", "text_id") REFERENCES "personal_text" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "transit" ADD CONSTRAINT "transit_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_from_premises_id_fkey" FOREIGN KEY ("producer_id", "from_premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_to_premises_id_fkey" FOREIGN KEY ("producer_id", "to_premises_id") REFERENCES "premises" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "account" ADD CONSTRAINT "account_transit_id_fkey" FOREIGN KEY ("producer_id", "transit_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;

ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_range_check" CHECK ("counted_litres" >= 0 AND ("counted" IS NULL OR "counted" >= 0));
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_product_check" CHECK (("packaged_lot_id" IS NULL) <> ("composition_id" IS NULL) AND ("composition_id" IS NULL) = ("vessel_id" IS NULL));
ALTER TABLE "transit" ADD CONSTRAINT "transit_range_check" CHECK ("count" > 0 AND "litres" > 0 AND "from_premises_id" <> "to_premises_id");
