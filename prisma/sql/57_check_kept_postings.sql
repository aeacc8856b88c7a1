-- Compares accounts, postings and their components that a part of the trail wrote with its bodies.
DROP FUNCTION IF EXISTS check_kept_postings(uuid, bigint);
CREATE OR REPLACE FUNCTION check_kept_postings_part(p_producer uuid, p_from bigint, p_until bigint) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  WITH bodies AS MATERIALIZED (
    SELECT e.sequence, body_json(e.body) AS body FROM trail_entry e
     WHERE e.producer_id = p_producer AND e.sequence BETWEEN p_from AND p_until AND strpos(e.body, '"operations":[') > 0),
  said AS (
    SELECT b.sequence, (o.value ->> 'id')::uuid AS operation_id, (p.value ->> 'line')::int AS line,
           (p.value - 'components') || jsonb_build_object('producer_id', p_producer, 'operation_id', o.value -> 'id', 'occurred_at', o.value -> 'occurred_at') AS row,
           coalesce(p.value -> 'components', '[]') AS components, p.value - 'components' - (SELECT given_columns('posting')) AS unknown
      FROM bodies b, jsonb_array_elements(b.body -> 'operations') AS o, jsonb_array_elements(o.value -> 'postings') AS p),
  kept AS (
    SELECT p.operation_id, p.line, to_jsonb(p) AS row, o.trail_sequence,
           (SELECT coalesce(jsonb_agg(jsonb_build_array(c.origin, c.c_litres, c.c_lpa) ORDER BY c.origin), '[]') FROM posting_component c
             WHERE c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line) AS components
      FROM posting p JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
     WHERE p.producer_id = p_producer AND o.trail_sequence BETWEEN p_from AND p_until),
  said_accounts AS (
    SELECT min(b.sequence) AS sequence, a.value ->> 'id' AS id, a.value || jsonb_build_object('producer_id', p_producer) AS row,
           a.value - (SELECT given_columns('account')) AS unknown
      FROM bodies b, jsonb_array_elements(b.body -> 'accounts') AS a GROUP BY a.value)
  SELECT s.sequence, 'account ' || s.id,
         CASE WHEN k.id IS NULL THEN 'the trail has it, the table does not'
              WHEN s.unknown <> '{}' THEN 'its trail entry has a name that the table has not' ELSE 'it differs from its trail entry' END,
         jsonb_build_object('trail', s.row, 'kept', to_jsonb(k))
    FROM said_accounts s LEFT JOIN account k ON k.producer_id = p_producer AND k.id = s.id::uuid
   WHERE to_jsonb(jsonb_populate_record(NULL::account, s.row)) IS DISTINCT FROM to_jsonb(k) OR s.unknown <> '{}'
  UNION ALL
  (SELECT coalesce(s.sequence, k.trail_sequence), 'posting ' || coalesce(s.operation_id, k.operation_id) || ' line ' || coalesce(s.line, k.line),
          CASE WHEN s.line IS NULL THEN 'it stands in no trail entry' WHEN k.line IS NULL THEN 'the trail has it, the table does not'
               WHEN s.unknown <> '{}' THEN 'its trail entry has a name that the table has not' ELSE 'it differs from its trail entry' END,
          jsonb_build_object('trail', s.row, 'kept', k.row)
     FROM said s FULL JOIN kept k ON k.operation_id = s.operation_id AND k.line = s.line
    WHERE s.line IS NULL OR k.line IS NULL OR s.unknown <> '{}'
       OR to_jsonb(jsonb_populate_record(NULL::posting, s.row || jsonb_build_object('operation_sequence', k.row -> 'operation_sequence'))) <> k.row
       OR (SELECT coalesce(jsonb_agg(jsonb_build_array(c.value ->> 0, (c.value ->> 1)::component, (c.value ->> 2)::component) ORDER BY c.value ->> 0), '[]')
             FROM jsonb_array_elements(s.components) AS c) <> k.components
    ORDER BY 1, 2)
$$;
REVOKE ALL ON FUNCTION check_kept_postings_part(uuid, bigint, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_kept_postings_part(uuid, bigint, bigint) TO gaugebook_app;
