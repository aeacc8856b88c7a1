-- AlterTable
ALTER TABLE "transit" ADD COLUMN     "composition_id" UUID,
ALTER COLUMN "packaged_lot_id" DROP NOT NULL,
ALTER COLUMN "count" DROP NOT NULL;

-- CreateIndex
CREATE INDEX "account_producer_id_transit_id_idx" ON "account"("producer_id", "transit_id");

ALTER TABLE "transit" ADD CONSTRAINT "transit_composition_id_fkey" FOREIGN KEY ("producer_id", "composition_id") REFERENCES "composition" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "transit" ADD CONSTRAINT "transit_goods_check" CHECK (("packaged_lot_id" IS NULL) <> ("composition_id" IS NULL) AND ("packaged_lot_id" IS NULL) = ("count" IS NULL));
