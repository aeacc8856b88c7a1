-- Walks a part of the chain and holds every row that it wrote against its bodies. Answers one row a thing that does not fit, first first; nothing
-- when all fits. A long trail is walked part by part, since an entry and what it wrote never change.
CREATE OR REPLACE FUNCTION check_trail_part(p_producer uuid, p_from bigint, p_until bigint)
RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE plpgsql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  RETURN QUERY SELECT * FROM check_chain_part(p_producer, p_from, p_until);
  BEGIN
    RETURN QUERY SELECT * FROM check_kept_rows_part(p_producer, p_from, p_until);
    RETURN QUERY SELECT * FROM check_kept_postings_part(p_producer, p_from, p_until);
  EXCEPTION WHEN data_exception OR integrity_constraint_violation THEN
    -- A body that holds its hash but describes no rows of these tables.
    RETURN QUERY SELECT 0::bigint, 'trail', 'an entry describes rows that these books cannot have', '{}'::jsonb;
  END;
END $$;
REVOKE ALL ON FUNCTION check_trail_part(uuid, bigint, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_trail_part(uuid, bigint, bigint) TO gaugebook_app;

-- From an entry to the end, in one.
CREATE OR REPLACE FUNCTION check_trail(p_producer uuid, p_from bigint) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT * FROM check_trail_part(p_producer, p_from, 9223372036854775807)
  UNION ALL
  SELECT * FROM check_head(p_producer)
  UNION ALL
  SELECT u.* FROM check_unsaid(p_producer) AS u WHERE p_from <= 1
$$;
REVOKE ALL ON FUNCTION check_trail(uuid, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_trail(uuid, bigint) TO gaugebook_app;
