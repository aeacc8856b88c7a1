-- Checks a part of the chain and compares every row that it wrote with its bodies. Answers one row for each fault, the earliest first, and none where
-- there is no fault. A long trail is checked in parts, because an entry and its rows never change.
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
