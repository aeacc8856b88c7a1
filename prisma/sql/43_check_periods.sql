-- Refuses a period that overlaps another, and a withdrawal of one that is closed, not the last of its premises, or not empty. Rows of a withdrawn
-- period stay, so that a constraint of the table cannot tell; the lock of the producer's head row is held.
CREATE OR REPLACE FUNCTION check_periods(p_producer uuid, p_rows jsonb) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_hit uuid;
BEGIN
  SELECT q.id INTO v_hit
    FROM period p JOIN period q ON q.producer_id = p.producer_id AND q.premises_id = p.premises_id AND q.id <> p.id
                              AND q.starts_at < p.ends_at AND q.ends_at > p.starts_at
   WHERE p.producer_id = p_producer AND p.id IN (SELECT (r ->> 'id')::uuid FROM jsonb_array_elements(p_rows -> 'period') AS r)
     AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p_producer AND w.period_id IN (p.id, q.id)) LIMIT 1;
  IF FOUND THEN
    PERFORM fail('conflict', jsonb_build_object('period', v_hit));
  END IF;
  SELECT d.id INTO v_hit
    FROM period_withdrawal w JOIN period d ON d.producer_id = w.producer_id AND d.id = w.period_id
   WHERE w.producer_id = p_producer AND w.period_id IN (SELECT (r ->> 'period_id')::uuid FROM jsonb_array_elements(p_rows -> 'period_withdrawal') AS r)
     AND (EXISTS (SELECT FROM report r WHERE r.producer_id = d.producer_id AND r.period_id = d.id)
       OR EXISTS (SELECT FROM period l WHERE l.producer_id = d.producer_id AND l.premises_id = d.premises_id AND l.starts_at > d.starts_at
                     AND NOT EXISTS (SELECT FROM period_withdrawal x WHERE x.producer_id = l.producer_id AND x.period_id = l.id))
       OR period_is_used(d)) LIMIT 1;
  IF FOUND THEN
    PERFORM fail('in-use', jsonb_build_object('period', v_hit));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_periods(uuid, jsonb) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_periods(uuid, jsonb) TO gaugebook_books;
