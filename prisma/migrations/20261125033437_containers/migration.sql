-- CreateTable
CREATE TABLE "container_event" (
    "producer_id" UUID NOT NULL,
    "operation_id" UUID NOT NULL,
    "serial" TEXT NOT NULL,
    "event" TEXT NOT NULL,
    "packaged_lot_id" UUID,
    "litres" "litres",
    "recorded_at" TIMESTAMPTZ(6) NOT NULL,
    "trail_sequence" BIGINT NOT NULL,

    CONSTRAINT "container_event_pkey" PRIMARY KEY ("producer_id","operation_id","serial")
);

-- CreateIndex
CREATE INDEX "container_event_producer_id_serial_idx" ON "container_event"("producer_id", "serial");

ALTER TABLE "container_event" ADD CONSTRAINT "container_event_operation_id_fkey" FOREIGN KEY ("producer_id", "operation_id") REFERENCES "operation" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_packaged_lot_id_fkey" FOREIGN KEY ("producer_id", "packaged_lot_id") REFERENCES "packaged_lot" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_producer_id_fkey" FOREIGN KEY ("producer_id") REFERENCES "producer" ("id");
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_event_check" CHECK ("event" IN ('filled', 'out', 'back', 'emptied', 'came-empty') AND ("event" = 'came-empty') = ("packaged_lot_id" IS NULL));
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_serial_check" CHECK ("serial" <> '');
