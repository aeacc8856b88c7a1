-- The head is the last entry of the trail, and its operation the last one.
CREATE OR REPLACE FUNCTION check_head(p_producer uuid) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT coalesce(h.trail_sequence, e.sequence, 0), 'producer head',
         CASE WHEN h.producer_id IS NULL THEN 'there is none'
              WHEN h.operation_sequence <> o.sequence THEN 'its operation is not the last one'
              ELSE 'the head is not the last entry of the trail' END,
         jsonb_build_object('lastEntry', e.sequence, 'lastOperation', o.sequence)
    FROM (SELECT coalesce(max(sequence), 0) AS sequence FROM operation WHERE producer_id = p_producer) o
    LEFT JOIN producer_head h ON h.producer_id = p_producer
    LEFT JOIN LATERAL (SELECT t.sequence, t.entry_hash FROM trail_entry t WHERE t.producer_id = p_producer ORDER BY t.sequence DESC LIMIT 1) e ON true
   WHERE h.trail_sequence IS DISTINCT FROM e.sequence OR h.trail_hash IS DISTINCT FROM e.entry_hash OR h.operation_sequence <> o.sequence
$$;
REVOKE ALL ON FUNCTION check_head(uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_head(uuid) TO gaugebook_app;
