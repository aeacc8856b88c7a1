-- Compares the rows of every append-only table that a part of the trail wrote with its bodies: each row is made again as post() made it.
DROP FUNCTION IF EXISTS check_kept_rows(uuid, bigint);
CREATE OR REPLACE FUNCTION check_kept_rows_part(p_producer uuid, p_from bigint, p_until bigint) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE plpgsql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_table text;
  v_key text[];
  v_spec text;
  v_sequences bigint[];
  v_times timestamptz[];
  v_bodies jsonb[];
BEGIN
  -- Each body is read and parsed once for all tables. The caller bounds the part, so that the bodies have room in memory.
  SELECT array_agg(e.sequence ORDER BY e.sequence), array_agg(e.recorded_at ORDER BY e.sequence), array_agg(body_json(e.body) ORDER BY e.sequence)
    INTO v_sequences, v_times, v_bodies
    FROM trail_entry e WHERE e.producer_id = p_producer AND e.sequence BETWEEN p_from AND p_until;
  FOREACH v_spec IN ARRAY ARRAY['material_lot id', 'composition id', 'packaged_lot id', 'period id', 'period_withdrawal period_id', 'reading id', 'finding id',
                                'finding_reading finding_id reading_id use', 'reading_strike reading_id', 'reading_confirmation reading_id code', 'movement operation_id',
                                'gauge operation_id', 'stock_count operation_id', 'transit operation_id', 'container_event operation_id serial',
                                'plan id', 'process_step id', 'movement_proof id', 'filing id', 'material_entry operation_id material_lot_id', 'report id', 'operation id'] LOOP
    v_key := string_to_array(v_spec, ' ');
    v_table := v_key[1];
    -- The bytes of a report stand beside the body, which has their hash; the sequence of an operation follows from the trail.
    RETURN QUERY EXECUTE format($q$
      WITH said AS (
        SELECT e.sequence, r.value || jsonb_build_object('producer_id', $1, 'trail_sequence', e.sequence, 'recorded_at', e.recorded_at) AS row, %3$s AS k,
               r.value - $4 AS unknown
          FROM unnest($5, $6, $7) AS e (sequence, recorded_at, body), jsonb_array_elements(%2$s) AS r WHERE %6$s),
      kept AS (SELECT x.row, x.trail_sequence, %4$s AS k
                 FROM (SELECT to_jsonb(t) AS row, t.trail_sequence FROM %1$I t WHERE t.producer_id = $1 AND t.trail_sequence BETWEEN $2 AND $3) x),
      held AS (
        SELECT coalesce(s.sequence, x.trail_sequence) AS sequence, coalesce(s.k, x.k) AS k, s.k IS NULL AS unsaid, x.row, s.unknown,
               to_jsonb(jsonb_populate_record(NULL::%1$I, s.row || %5$s)) AS said
          FROM said s FULL JOIN kept x ON x.k = s.k AND x.trail_sequence = s.sequence)
      SELECT h.sequence, %1$L || ' ' || h.k,
             CASE WHEN h.unsaid THEN 'it stands in no trail entry' WHEN h.row IS NULL THEN 'the trail has it, the table does not'
                  WHEN h.said <> h.row THEN 'it differs from its trail entry' ELSE 'its trail entry has a name that the table has not' END,
             CASE WHEN h.unsaid OR h.row IS NULL THEN '{}' WHEN h.said = h.row THEN jsonb_build_object('trail', h.unknown) ELSE (
               SELECT jsonb_object_agg(d.key, jsonb_build_object('trail', d.value, 'kept', h.row -> d.key))
                 FROM jsonb_each(h.said) AS d WHERE d.value IS DISTINCT FROM h.row -> d.key) END
        FROM held h WHERE h.unsaid OR h.row IS NULL OR h.said <> h.row OR h.unknown <> '{}'
       ORDER BY 1, 2 $q$,
      v_table,
      CASE WHEN v_table = 'operation' THEN $s$(SELECT coalesce(jsonb_agg(o - 'postings'), '[]') FROM jsonb_array_elements(e.body -> 'operations') AS o)$s$
           ELSE format('e.body -> ''rows'' -> %L', v_table) END,
      (SELECT string_agg(format('(r.value ->> %L)', c), ' || ''/'' || ') FROM unnest(v_key[2:]) AS c),
      (SELECT string_agg(format('(x.row ->> %L)', c), ' || ''/'' || ') FROM unnest(v_key[2:]) AS c),
      CASE v_table WHEN 'report' THEN $s$jsonb_build_object('bytes', x.row -> 'bytes')$s$
                   WHEN 'operation' THEN $s$jsonb_build_object('sequence', x.row -> 'sequence')$s$ ELSE '''{}''' END,
      CASE v_table WHEN 'operation' THEN 'e.body ? ''operations''' ELSE format('e.body -> ''rows'' ? %L', v_table) END)
      USING p_producer, p_from, p_until, given_columns(v_table), v_sequences, v_times, v_bodies;
  END LOOP;

  RETURN QUERY
    SELECT e.sequence, 'trail entry ' || e.sequence, 'its body has a part that these books do not know', b.unknown
      FROM unnest(v_sequences, v_bodies) AS e (sequence, body), LATERAL (SELECT unknown_parts(e.body) AS unknown) AS b
     WHERE b.unknown <> '{}';

  RETURN QUERY
    SELECT r.trail_sequence, 'report ' || r.id, 'its bytes are not those of its hash', '{}'::jsonb
      FROM report r WHERE r.producer_id = p_producer AND r.trail_sequence BETWEEN p_from AND p_until AND r.hash <> sha256(convert_to(r.bytes, 'UTF8'));

  RETURN QUERY
    SELECT o.trail_sequence, 'operation ' || o.id, 'its sequence does not follow the trail', jsonb_build_object('sequence', o.sequence)
      FROM operation o LEFT JOIN operation b ON b.producer_id = o.producer_id AND b.sequence = o.sequence - 1
     WHERE o.producer_id = p_producer AND o.trail_sequence BETWEEN p_from AND p_until
       AND (o.trail_sequence < b.trail_sequence OR (b.id IS NULL AND o.sequence <> 1));

  RETURN QUERY
    SELECT e.sequence, 'personal text ' || coalesce(t.id::text, x.value ->> 'id'), 'its hash differs from its trail entry', '{}'::jsonb
      FROM unnest(v_sequences, v_bodies) AS e (sequence, body), jsonb_array_elements(e.body -> 'personalText') AS x
      LEFT JOIN personal_text t ON t.producer_id = p_producer AND t.id = (x.value ->> 'id')::uuid
     WHERE (t.id IS NULL OR encode(t.hash, 'hex') <> x.value ->> 'hash' OR (t.text IS NOT NULL AND sha256(t.salt || convert_to(t.text, 'UTF8')) <> t.hash));
END $$;
REVOKE ALL ON FUNCTION check_kept_rows_part(uuid, bigint, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_kept_rows_part(uuid, bigint, bigint) TO gaugebook_app;
