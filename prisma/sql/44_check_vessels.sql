-- Refuses a second composition in a vessel: two lots in one vessel are a blend and are entered as one. The check runs while the head is locked,
-- because two requests that both found the vessel empty write to different accounts. It looks at every moment from the event on, because an entry
-- with an earlier date may overlap with a lot that was in the vessel later.
CREATE OR REPLACE FUNCTION check_vessels(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_pair record;
  v_at timestamptz;
  v_way record;
BEGIN
  -- Accounts of another composition in the same vessel that hold something now, or that were posted to after the event.
  FOR v_pair IN
    SELECT t.account_id, t.at, o.id AS other_id, b.litres AS level, ob.litres AS other_level
      FROM (SELECT p.account_id, min(p.occurred_at) AS at FROM posting p
             WHERE p.producer_id = p_producer AND p.operation_id = ANY (p_operations) GROUP BY p.account_id) t
      JOIN account a ON a.producer_id = p_producer AND a.id = t.account_id AND a.side = 'stock' AND a.vessel_id IS NOT NULL
      JOIN balance b ON b.producer_id = p_producer AND b.account_id = a.id
      JOIN account o ON o.producer_id = p_producer AND o.vessel_id = a.vessel_id AND o.side = 'stock' AND o.composition_id <> a.composition_id
      JOIN balance ob ON ob.producer_id = p_producer AND ob.account_id = o.id AND (ob.litres > 0 OR ob.last_occurred_at > t.at)
     ORDER BY o.key, a.key
  LOOP
    SELECT m.at INTO v_at FROM (
      SELECT g.at, v_pair.level - coalesce(sum(g.own) OVER later, 0) AS own, v_pair.other_level - coalesce(sum(g.other) OVER later, 0) AS other
        FROM (SELECT p.occurred_at AS at, coalesce(sum(p.litres) FILTER (WHERE p.account_id = v_pair.account_id), 0) AS own,
                     coalesce(sum(p.litres) FILTER (WHERE p.account_id = v_pair.other_id), 0) AS other
                FROM posting p
               WHERE p.producer_id = p_producer AND p.account_id IN (v_pair.account_id, v_pair.other_id) AND p.occurred_at >= v_pair.at
               GROUP BY p.occurred_at) g
      WINDOW later AS (ORDER BY g.at DESC ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING)) m
     WHERE m.own > 0 AND m.other > 0 ORDER BY m.at LIMIT 1;
    IF FOUND THEN
      SELECT o.id, o.kind, o.occurred_at INTO v_way
        FROM posting p JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
       WHERE p.producer_id = p_producer AND p.account_id = v_pair.other_id AND p.litres > 0 AND p.occurred_at <= v_at
         AND o.id <> ALL (p_operations) AND o.reverses IS NULL AND NOT is_reversed(p_producer, o.id)
       ORDER BY o.occurred_at DESC, o.sequence DESC LIMIT 1;
      PERFORM fail('vessel-in-use', (
        SELECT jsonb_strip_nulls(jsonb_build_object('vessel', v.id, 'lot', l.id, 'at', v_at, 'vesselName', v.name, 'lotCode', l.code,
                 'timeZone', s.time_zone, 'operation', v_way.id, 'operationKind', v_way.kind, 'since', v_way.occurred_at))
          FROM account o
          JOIN composition c ON c.producer_id = o.producer_id AND c.id = o.composition_id
          JOIN lot l ON l.producer_id = o.producer_id AND l.id = c.lot_id
          JOIN vessel v ON v.producer_id = o.producer_id AND v.id = o.vessel_id
          JOIN account a ON a.producer_id = o.producer_id AND a.id = v_pair.account_id
          JOIN premises s ON s.producer_id = o.producer_id AND s.id = a.premises_id
         WHERE o.producer_id = p_producer AND o.id = v_pair.other_id));
    END IF;
  END LOOP;
END $$;
REVOKE ALL ON FUNCTION check_vessels(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_vessels(uuid, uuid[]) TO gaugebook_books;
