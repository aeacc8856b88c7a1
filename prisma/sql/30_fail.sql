-- Refuses the write with one of the closed list of problem codes; the program turns the message into the answer.
CREATE OR REPLACE FUNCTION fail(p_code text, p_details jsonb DEFAULT '{}') RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  RAISE EXCEPTION USING ERRCODE = 'GB001', MESSAGE = 'GAUGEBOOK ' || (jsonb_build_object('code', p_code) || p_details)::text;
END $$;
REVOKE ALL ON FUNCTION fail(text, jsonb) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION fail(text, jsonb) TO gaugebook_books;
