-- Locks the head for the rest of the transaction, so that what is read next has not changed when it is posted.
CREATE OR REPLACE FUNCTION hold_head(p_producer uuid) RETURNS bigint
LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_sequence bigint;
BEGIN
  PERFORM take_producer(p_producer);
  SELECT trail_sequence INTO v_sequence FROM producer_head WHERE producer_id = p_producer FOR NO KEY UPDATE;
  RETURN v_sequence;
END $$;
ALTER FUNCTION hold_head(uuid) OWNER TO gaugebook_books;
REVOKE ALL ON FUNCTION hold_head(uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION hold_head(uuid) TO gaugebook_app;
