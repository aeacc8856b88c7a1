-- CreateTable
CREATE TABLE "return_mapping" (
    "producer_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "number" INTEGER NOT NULL,
    "document" JSONB NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(6) NOT NULL,
    "retired_at" TIMESTAMPTZ(6),

    CONSTRAINT "return_mapping_pkey" PRIMARY KEY ("producer_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "return_mapping_producer_id_name_number_key" ON "return_mapping"("producer_id", "name", "number");
