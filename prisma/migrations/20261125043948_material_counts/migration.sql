-- AlterTable
ALTER TABLE "stock_count" ADD COLUMN     "material_lot_id" UUID;

-- CreateIndex
CREATE INDEX "stock_count_producer_id_material_lot_id_idx" ON "stock_count"("producer_id", "material_lot_id");

-- Keys carry the producer: a single-column key would accept a row that row security hides.
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_material_lot_id_fkey" FOREIGN KEY ("producer_id", "material_lot_id") REFERENCES "material_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;

ALTER TABLE "stock_count" DROP CONSTRAINT "stock_count_product_check";
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_product_check" CHECK (num_nonnulls("packaged_lot_id", "composition_id", "material_lot_id") = 1 AND ("composition_id" IS NULL) = ("vessel_id" IS NULL));
