-- A container with a serial is empty when it is filled. It goes out with the lot that it was filled with, from the premises and with the duty status
-- that it stands at, and is out when it comes back. No more is taken out of it than was in it. The check covers all events of each container in a write that are not reversed, in their order in time, so that an
-- entry with an earlier date or a reversal cannot contradict a later event.
CREATE OR REPLACE FUNCTION check_containers(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_serials text[];
  v_hit record;
BEGIN
  WITH RECURSIVE about AS (
    SELECT o.id, o.reverses FROM operation o WHERE o.producer_id = p_producer AND o.id = ANY (p_operations)
    UNION ALL
    SELECT o.id, o.reverses FROM about b JOIN operation o ON o.producer_id = p_producer AND o.id = b.reverses)
  SELECT array_agg(DISTINCT e.serial) INTO v_serials
    FROM about b JOIN container_event e ON e.producer_id = p_producer AND e.operation_id = b.id;
  IF v_serials IS NULL THEN
    RETURN;
  END IF;
  SELECT y.* INTO v_hit FROM (
    SELECT x.*, x.event <> 'filled' AND coalesce(x.litres > x.litres_before, false) AS too_much,
           coalesce(CASE x.event
             WHEN 'filled' THEN x.before IS NULL OR x.before IN ('emptied', 'came-empty')
             WHEN 'back' THEN x.before IN ('out', 'missing') AND x.lot_before = x.lot
             WHEN 'came-empty' THEN x.before IS NULL OR x.before IN ('out', 'missing')
             WHEN 'arrived' THEN x.before = 'sent' AND x.lot_before = x.lot
             WHEN 'found' THEN x.before IN ('out', 'missing') AND x.lot_before = x.lot
             WHEN 'missing' THEN x.lot_before = x.lot AND (x.before IN ('sent', 'out', 'emptied') OR (x.held_before AND x.here))
             WHEN 'relabelled' THEN x.held_before AND x.here AND x.lot_before::text = x.from_lot
             ELSE x.held_before AND x.here AND x.lot_before = x.lot END, false) AS fits
      FROM (
       SELECT w.*, w.place_before = w.place AS here, w.before IN ('filled', 'back', 'part-drawn', 'relabelled', 'arrived', 'found') AS held_before FROM (
        SELECT e.serial, e.event, e.packaged_lot_id AS lot, e.litres, o.id, o.kind, o.document ->> 'movement' AS movement, o.occurred_at AS at, lag(e.event) OVER so AS before,
               lag(e.packaged_lot_id) OVER so AS lot_before, lag(e.litres) OVER so AS litres_before,
               o.document ->> 'fromPackagedLotId' AS from_lot, o.premises_id || coalesce(o.document ->> 'dutyStatus', 'suspended') AS place,
               lag(o.premises_id || coalesce(o.document ->> 'dutyStatus', 'suspended')) OVER so AS place_before, lag(o.id) OVER so AS id_before,
               lag(o.kind) OVER so AS kind_before, lag(o.document ->> 'movement') OVER so AS movement_before, lag(o.occurred_at) OVER so AS at_before, s.time_zone
          FROM container_event e JOIN operation o ON o.producer_id = e.producer_id AND o.id = e.operation_id
          JOIN premises s ON s.producer_id = o.producer_id AND s.id = o.premises_id
         WHERE e.producer_id = p_producer AND e.serial = ANY (v_serials) AND NOT is_reversed(p_producer, o.id)
        WINDOW so AS (PARTITION BY e.serial ORDER BY o.occurred_at, o.sequence)) w) x) y
   WHERE NOT y.fits OR y.too_much
   ORDER BY y.at, y.serial LIMIT 1;
  IF FOUND THEN
    -- The contents are judged only where the place fits.
    PERFORM fail(CASE WHEN v_hit.fits THEN 'container-holds-less' ELSE 'container-elsewhere' END,
      jsonb_strip_nulls(jsonb_build_object('serial', v_hit.serial, 'event', v_hit.event, 'before', v_hit.before, 'contents', CASE WHEN v_hit.litres_before IS NOT NULL THEN jsonb_build_object('value', v_hit.litres_before, 'unit', 'L') END,
        'timeZone', v_hit.time_zone)
      || CASE WHEN v_hit.id = ANY (p_operations)
              THEN jsonb_build_object('operation', v_hit.id_before, 'operationKind', v_hit.kind_before, 'movementKind', v_hit.movement_before, 'at', v_hit.at_before)
              ELSE jsonb_build_object('operation', v_hit.id, 'operationKind', v_hit.kind, 'movementKind', v_hit.movement, 'at', v_hit.at) END));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_containers(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_containers(uuid, uuid[]) TO gaugebook_books;
