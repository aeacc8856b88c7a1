-- Refuses a finding that uses a struck reading, a strike of a reading that a finding uses, and a report whose bytes do not have its hash.
-- Closed periods are checked for each operation by check_period().
CREATE OR REPLACE FUNCTION check_rows(p_producer uuid, p_trail bigint) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_hit record;
BEGIN
  SELECT fr.reading_id, fr.finding_id INTO v_hit
    FROM finding_reading fr
    JOIN reading_strike s ON s.producer_id = fr.producer_id AND s.reading_id = fr.reading_id
    JOIN finding f ON f.producer_id = fr.producer_id AND f.id = fr.finding_id
   WHERE fr.producer_id = p_producer AND (fr.trail_sequence = p_trail OR s.trail_sequence = p_trail)
     AND (f.operation_id IS NULL OR NOT is_reversed(p_producer, f.operation_id)) LIMIT 1;
  IF FOUND THEN
    PERFORM fail('reading-in-use', jsonb_build_object('reading', v_hit.reading_id, 'finding', v_hit.finding_id));
  END IF;
  PERFORM 1 FROM report WHERE producer_id = p_producer AND trail_sequence = p_trail AND hash <> sha256(convert_to(bytes, 'UTF8'));
  IF FOUND THEN
    PERFORM fail('trail-broken', jsonb_build_object('in', 'report'));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_rows(uuid, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_rows(uuid, bigint) TO gaugebook_books;
