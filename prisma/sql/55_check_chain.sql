-- Walks a part of the trail: sequence, hashes and times follow one another.
DROP FUNCTION IF EXISTS check_chain(uuid, bigint);
CREATE OR REPLACE FUNCTION check_chain_part(p_producer uuid, p_from bigint, p_until bigint) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  WITH chain AS (
    SELECT e.*, lag(e.sequence) OVER w AS before, lag(e.entry_hash) OVER w AS hash_before, lag(e.recorded_at) OVER w AS at_before
      FROM trail_entry e WHERE e.producer_id = p_producer AND e.sequence BETWEEN p_from - 1 AND p_until WINDOW w AS (ORDER BY e.sequence)),
  judged AS (
    SELECT c.sequence, c.recorded_at,
           CASE WHEN c.sequence <> coalesce(c.before + 1, 1) THEN 'entries are missing before it'
                WHEN c.body_hash <> sha256(convert_to(c.body, 'UTF8')) THEN 'its body is not the one that was hashed'
                WHEN c.previous_hash <> coalesce(c.hash_before, decode(repeat('00', 32), 'hex')) THEN 'it does not follow the entry before it'
                WHEN c.entry_hash <> entry_hash(c.version, c.sequence, c.recorded_at, c.previous_hash, c.body_hash) THEN 'its hash is not that of its lines'
                WHEN c.recorded_at <= c.at_before THEN 'it is not later than the entry before it'
                WHEN jsonb_typeof(body_json(c.body)) IS DISTINCT FROM 'object' THEN 'its body cannot be read' END AS problem
      FROM chain c WHERE c.sequence >= p_from)
  (SELECT j.sequence, 'trail entry ' || j.sequence, j.problem, jsonb_build_object('recordedAt', j.recorded_at)
     FROM judged j WHERE j.problem IS NOT NULL ORDER BY j.sequence)
$$;
REVOKE ALL ON FUNCTION check_chain_part(uuid, bigint, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_chain_part(uuid, bigint, bigint) TO gaugebook_app;
