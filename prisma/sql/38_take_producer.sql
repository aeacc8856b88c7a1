-- Sets the producer of a write. Refuses it in a session that the program has set for another producer, before anything is read.
CREATE OR REPLACE FUNCTION take_producer(p_producer uuid) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  IF nullif(current_setting('app.producer', true), '') IS DISTINCT FROM p_producer::text
     AND nullif(current_setting('app.producer', true), '') IS NOT NULL THEN
    PERFORM fail('wrong-producer');
  END IF;
  PERFORM set_config('app.producer', p_producer::text, true);
END $$;
REVOKE ALL ON FUNCTION take_producer(uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION take_producer(uuid) TO gaugebook_books;
