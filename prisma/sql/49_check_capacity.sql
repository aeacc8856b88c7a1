-- Refuses what puts more into a vessel than it can hold. It looks at every moment from the event on at which the write has raised the level, so that
-- nothing prevents a draw from a vessel whose capacity was set too low afterwards. A vessel without a capacity is not checked.
CREATE OR REPLACE FUNCTION check_capacity(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_vessel record;
  v_over record;
BEGIN
  FOR v_vessel IN
    SELECT v.id, v.name, v.capacity_l, s.time_zone, min(p.occurred_at) AS at
      FROM posting p
      JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'stock'
      JOIN vessel v ON v.producer_id = a.producer_id AND v.id = a.vessel_id
      JOIN premises s ON s.producer_id = v.producer_id AND s.id = v.premises_id
     WHERE p.producer_id = p_producer AND p.operation_id = ANY (p_operations) AND v.capacity_l IS NOT NULL
     GROUP BY v.id, v.name, v.capacity_l, s.time_zone
     ORDER BY v.id
  LOOP
    SELECT m.at, m.level INTO v_over FROM (
      SELECT g.at, g.level - coalesce(sum(g.litres) OVER (ORDER BY g.at DESC ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0) AS level,
             sum(g.own) OVER (ORDER BY g.at) AS raised
        FROM (SELECT p.occurred_at AS at, sum(p.litres) AS litres, coalesce(sum(p.litres) FILTER (WHERE p.operation_id = ANY (p_operations)), 0) AS own,
                     (SELECT sum(b.litres) FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
                       WHERE a.producer_id = p_producer AND a.vessel_id = v_vessel.id AND a.side = 'stock') AS level
                FROM account a
                JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id AND b.last_occurred_at >= v_vessel.at
                JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id AND p.occurred_at >= v_vessel.at
               WHERE a.producer_id = p_producer AND a.vessel_id = v_vessel.id AND a.side = 'stock'
               GROUP BY p.occurred_at) g) m
     WHERE m.level > v_vessel.capacity_l AND m.raised > 0 ORDER BY m.at LIMIT 1;
    IF FOUND THEN
      PERFORM fail('over-capacity', jsonb_build_object('vessel', v_vessel.id, 'vesselName', v_vessel.name, 'at', v_over.at,
        'timeZone', v_vessel.time_zone, 'capacity', jsonb_build_object('value', v_vessel.capacity_l, 'unit', 'L'),
        'contents', jsonb_build_object('value', v_over.level, 'unit', 'L')));
    END IF;
  END LOOP;
END $$;
REVOKE ALL ON FUNCTION check_capacity(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_capacity(uuid, uuid[]) TO gaugebook_books;
