-- CreateIndex
CREATE INDEX "operation_producer_id_corrects_idx" ON "operation"("producer_id", "corrects");
