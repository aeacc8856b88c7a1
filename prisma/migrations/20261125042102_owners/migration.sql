-- AlterTable
ALTER TABLE "material_lot" ADD COLUMN     "owner" TEXT;

-- AlterTable
ALTER TABLE "lot" ADD COLUMN     "owner" TEXT;
