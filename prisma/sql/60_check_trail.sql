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

-- From an entry to the end, in parts whose bodies have room in memory. The last part also has what lies beyond the last entry.
CREATE OR REPLACE FUNCTION check_trail(p_producer uuid, p_from bigint) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE plpgsql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_from bigint := p_from;
  v_last bigint := (SELECT max(t.sequence) FROM trail_entry t WHERE t.producer_id = p_producer);
BEGIN
  WHILE v_from + 1000 <= v_last LOOP
    RETURN QUERY SELECT * FROM check_trail_part(p_producer, v_from, v_from + 999);
    v_from := v_from + 1000;
  END LOOP;
  RETURN QUERY SELECT * FROM check_trail_part(p_producer, v_from, 9223372036854775807);
  RETURN QUERY SELECT * FROM check_head(p_producer);
  IF p_from <= 1 THEN
    RETURN QUERY SELECT * FROM check_unsaid(p_producer);
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_trail(uuid, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_trail(uuid, bigint) TO gaugebook_app;
