-- AlterTable
ALTER TABLE "material_lot" ALTER COLUMN "duty_status" DROP NOT NULL;

-- CreateTable
CREATE TABLE "material_entry" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "material_lot_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "quantity" DECIMAL(18,6) NOT NULL,
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "material_entry_pkey" PRIMARY KEY ("producer_id","operation_id","material_lot_id")
);

-- CreateIndex
CREATE INDEX "material_entry_producer_id_material_lot_id_idx" ON "material_entry"("producer_id", "material_lot_id");

ALTER TABLE "material_entry" ADD CONSTRAINT "material_entry_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "material_entry" ADD CONSTRAINT "material_entry_material_lot_id_fkey" FOREIGN KEY ("producer_id", "material_lot_id") REFERENCES "material_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "material_entry" ADD CONSTRAINT "material_entry_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "material_entry" ADD CONSTRAINT "material_entry_quantity_check" CHECK ("quantity" >= 0);
