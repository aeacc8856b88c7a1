-- True where an operation is reversed and its reversal was not reversed in turn.
CREATE OR REPLACE FUNCTION is_reversed(p_producer uuid, p_operation uuid) RETURNS boolean
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  WITH RECURSIVE reversals AS (
    SELECT o.id, 1 AS depth FROM operation o WHERE o.producer_id = p_producer AND o.reverses = p_operation
    UNION ALL
    SELECT o.id, r.depth + 1 FROM operation o JOIN reversals r ON o.reverses = r.id WHERE o.producer_id = p_producer)
  SELECT coalesce(max(depth), 0) % 2 = 1 FROM reversals
$$;
REVOKE ALL ON FUNCTION is_reversed(uuid, uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION is_reversed(uuid, uuid) TO gaugebook_app, gaugebook_books;
