-- Refuses a finding that uses a struck reading, a strike of a reading that a finding uses, unless a later finding has taken its place, and a report whose bytes do not have its hash.
-- Looks only at the readings and reports that the write names. Closed periods are checked for each operation by check_period().
CREATE OR REPLACE FUNCTION check_rows_of(p_producer uuid, p_rows jsonb) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_hit record;
BEGIN
  IF p_rows ? 'finding_reading' OR p_rows ? 'reading_strike' THEN
    WITH used AS MATERIALIZED (
      SELECT fr.reading_id, fr.finding_id, f.operation_id, f.composition_id, f.standing, f.method_id
        FROM (SELECT DISTINCT (r ->> 'reading_id')::uuid AS id
                FROM jsonb_array_elements(coalesce(p_rows -> 'finding_reading', '[]') || coalesce(p_rows -> 'reading_strike', '[]')) AS r) named
        JOIN reading_strike s ON s.producer_id = p_producer AND s.reading_id = named.id
        JOIN finding_reading fr ON fr.producer_id = p_producer AND fr.reading_id = named.id
        JOIN finding f ON f.producer_id = p_producer AND f.id = fr.finding_id)
    SELECT u.reading_id, u.finding_id INTO v_hit
      FROM used u
     WHERE (u.operation_id IS NULL OR NOT is_reversed(p_producer, u.operation_id))
       AND NOT EXISTS (
         SELECT 1 FROM finding n
          WHERE n.producer_id = p_producer AND n.composition_id = u.composition_id AND n.id > u.finding_id
            AND (n.standing = u.standing AND (n.standing <> 'supporting' OR n.method_id = u.method_id)
              OR u.standing = 'provisional' AND n.standing = 'of-record')
            AND (n.operation_id IS NULL OR NOT is_reversed(p_producer, n.operation_id))) LIMIT 1;
    IF FOUND THEN
      PERFORM fail('reading-in-use', jsonb_build_object('reading', v_hit.reading_id, 'finding', v_hit.finding_id));
    END IF;
  END IF;
  IF p_rows ? 'period' OR p_rows ? 'period_withdrawal' THEN
    PERFORM check_periods(p_producer, p_rows);
  END IF;
  IF p_rows ? 'report' THEN
    PERFORM 1 FROM report t JOIN jsonb_array_elements(p_rows -> 'report') AS r ON t.id = (r ->> 'id')::uuid
      WHERE t.producer_id = p_producer AND t.hash <> sha256(convert_to(t.bytes, 'UTF8'));
    IF FOUND THEN
      PERFORM fail('trail-broken', jsonb_build_object('in', 'report'));
    END IF;
  END IF;
END $$;
DROP FUNCTION IF EXISTS check_rows(uuid, bigint);
REVOKE ALL ON FUNCTION check_rows_of(uuid, jsonb) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_rows_of(uuid, jsonb) TO gaugebook_books;
