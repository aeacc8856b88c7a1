-- A trail body as JSON, or NULL where it is none: the check names such an entry instead of failing on it.
CREATE OR REPLACE FUNCTION body_json(p_body text) RETURNS jsonb
LANGUAGE plpgsql IMMUTABLE SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  RETURN p_body::jsonb;
EXCEPTION WHEN data_exception OR program_limit_exceeded THEN
  RETURN NULL;
END $$;
REVOKE ALL ON FUNCTION body_json(text) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION body_json(text) TO gaugebook_app;
