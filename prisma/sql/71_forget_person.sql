-- Takes a person's name out of the text that stands outside the trail: text and salt go, the hash stays, so the trail still verifies and the name
-- cannot be guessed against it. Kept answers lose it, and the hash of the
-- request that brought it, so a replay of that request is refused as another body. Runs inside a settings write, which brings the trail entry.
CREATE OR REPLACE FUNCTION forget_person(p_producer uuid, p_person uuid) RETURNS void
LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_text uuid;
BEGIN
  PERFORM take_producer(p_producer);
  SELECT p.name_text_id INTO v_text
    FROM person p JOIN personal_text t ON t.producer_id = p.producer_id AND t.id = p.name_text_id
   WHERE p.producer_id = p_producer AND p.id = p_person AND t.forgotten_at IS NULL;
  IF NOT FOUND THEN
    PERFORM fail('conflict');
  END IF;
  UPDATE personal_text SET text = NULL, salt = ''::bytea, forgotten_at = current_setting('app.recorded_at')::timestamptz
   WHERE producer_id = p_producer AND id = v_text;
  UPDATE idempotency SET response = (response::jsonb - 'name')::text, body_hash = ''::bytea
   WHERE producer_id = p_producer AND response::jsonb ->> 'id' = p_person::text;
END $$;
ALTER FUNCTION forget_person(uuid, uuid) OWNER TO gaugebook_books;
REVOKE ALL ON FUNCTION forget_person(uuid, uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION forget_person(uuid, uuid) TO gaugebook_app;
