-- Walks the chain and holds every kept row against the body that it was written from. Answers one row a thing that does not fit, first first;
-- nothing when all fits. p_from limits the walk to entries from that sequence on.
CREATE OR REPLACE FUNCTION check_trail(p_producer uuid, p_from bigint) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE plpgsql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  RETURN QUERY SELECT * FROM check_chain(p_producer, p_from);
  BEGIN
    RETURN QUERY SELECT * FROM check_kept_rows(p_producer, p_from);
    RETURN QUERY SELECT * FROM check_kept_postings(p_producer, p_from);
  EXCEPTION WHEN data_exception OR integrity_constraint_violation THEN
    -- A body that holds its hash but describes no rows of these tables.
    RETURN QUERY SELECT 0::bigint, 'trail', 'an entry describes rows that these books cannot have', '{}'::jsonb;
  END;
END $$;
REVOKE ALL ON FUNCTION check_trail(uuid, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_trail(uuid, bigint) TO gaugebook_app;
