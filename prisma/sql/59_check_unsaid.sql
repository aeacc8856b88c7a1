-- Rows that no trail entry has. No part of the trail leads to them, so that all rows are searched.
CREATE OR REPLACE FUNCTION check_unsaid(p_producer uuid) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT 0::bigint, 'posting ' || p.operation_id || ' line ' || p.line, 'it stands in no trail entry', '{}'::jsonb
    FROM posting p WHERE p.producer_id = p_producer
     AND NOT EXISTS (SELECT FROM operation o WHERE o.producer_id = p.producer_id AND o.sequence = p.operation_sequence)
  UNION ALL
  SELECT 0::bigint, 'account ' || a.id, 'it stands in no trail entry', jsonb_build_object('kept', to_jsonb(a))
    FROM account a WHERE a.producer_id = p_producer AND a.id::text NOT IN (
      SELECT n.value ->> 'id' FROM trail_entry e, jsonb_array_elements(body_json(e.body) -> 'accounts') AS n
       WHERE e.producer_id = p_producer AND strpos(e.body, '"accounts":[{') > 0 AND n.value ->> 'id' IS NOT NULL)
$$;
REVOKE ALL ON FUNCTION check_unsaid(uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_unsaid(uuid) TO gaugebook_app;
