-- Events of containers: a part drawn off, another label, sent and arrived, missing and found.
ALTER TABLE "container_event" DROP CONSTRAINT "container_event_event_check";
ALTER TABLE "container_event" ADD CONSTRAINT "container_event_event_check" CHECK ("event" IN ('filled', 'out', 'back', 'emptied', 'came-empty', 'part-drawn', 'relabelled', 'sent', 'arrived', 'missing', 'found') AND ("event" = 'came-empty') = ("packaged_lot_id" IS NULL));
