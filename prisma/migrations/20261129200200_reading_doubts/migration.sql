-- AlterTable
ALTER TABLE "reading" ADD COLUMN     "doubts" JSONB;
