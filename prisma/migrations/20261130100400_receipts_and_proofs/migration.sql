-- AlterTable
ALTER TABLE "material_lot" ADD COLUMN     "document_date" DATE,
ADD COLUMN     "document_number" TEXT;

-- AlterTable
ALTER TABLE "movement_proof" ADD COLUMN     "arrived_litres" DECIMAL(15,6),
ADD COLUMN     "refused_litres" DECIMAL(15,6);
