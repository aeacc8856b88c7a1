-- Walks the chain and holds every kept row against the body that it was written from. Answers one row a thing that does not fit, first first;
-- nothing when all fits. p_from limits the walk to entries from that sequence on.
CREATE OR REPLACE FUNCTION check_trail(p_producer uuid, p_from bigint) RETURNS TABLE (entry bigint, place text, problem text, details jsonb)
LANGUAGE plpgsql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_table text;
  v_key text[];
  v_spec text;
BEGIN
  RETURN QUERY
    WITH chain AS (
      SELECT e.*, lag(e.sequence) OVER w AS before, lag(e.entry_hash) OVER w AS hash_before
        FROM trail_entry e WHERE e.producer_id = p_producer AND e.sequence >= p_from - 1 WINDOW w AS (ORDER BY e.sequence))
    SELECT c.sequence, 'trail entry ' || c.sequence,
           CASE WHEN c.sequence <> coalesce(c.before + 1, 1) THEN 'entries are missing before it'
                WHEN c.body_hash <> sha256(convert_to(c.body, 'UTF8')) THEN 'its body is not the one that was hashed'
                WHEN c.previous_hash <> coalesce(c.hash_before, decode(repeat('00', 32), 'hex')) THEN 'it does not follow the entry before it'
                ELSE 'its hash is not that of its lines' END,
           jsonb_build_object('recordedAt', c.recorded_at)
      FROM chain c
     WHERE c.sequence >= p_from AND (c.sequence > 1 OR c.before IS NULL) AND (
           c.sequence <> coalesce(c.before + 1, 1)
        OR c.body_hash <> sha256(convert_to(c.body, 'UTF8'))
        OR c.previous_hash <> coalesce(c.hash_before, decode(repeat('00', 32), 'hex'))
        OR c.entry_hash <> entry_hash(c.version, c.sequence, c.recorded_at, c.previous_hash, c.body_hash))
     ORDER BY c.sequence;

  RETURN QUERY
    SELECT h.trail_sequence, 'producer head', 'the head is not the last entry of the trail', jsonb_build_object('lastEntry', e.sequence)
      FROM producer_head h
      LEFT JOIN LATERAL (SELECT t.sequence, t.entry_hash FROM trail_entry t WHERE t.producer_id = p_producer ORDER BY t.sequence DESC LIMIT 1) e ON true
     WHERE h.producer_id = p_producer AND h.trail_sequence > 0
       AND (e.sequence IS DISTINCT FROM h.trail_sequence OR e.entry_hash IS DISTINCT FROM h.trail_hash);

  FOREACH v_spec IN ARRAY ARRAY['material_lot id', 'composition id', 'packaged_lot id', 'period id', 'reading id', 'finding id',
                                'finding_reading finding_id reading_id use', 'reading_strike reading_id', 'movement operation_id',
                                'gauge operation_id', 'report id', 'operation id'] LOOP
    v_key := string_to_array(v_spec, ' ');
    v_table := v_key[1];
    RETURN QUERY EXECUTE format($q$
      WITH said AS (
        SELECT e.sequence, e.recorded_at, r.value AS row, %3$s AS k
          FROM trail_entry e, jsonb_array_elements(%2$s) AS r
         WHERE e.producer_id = $1 AND e.sequence >= $2),
      kept AS (SELECT t AS rec, to_jsonb(t) AS row, t.trail_sequence FROM %1$I t WHERE t.producer_id = $1 AND t.trail_sequence >= $2)
      SELECT coalesce(s.sequence, x.trail_sequence), %1$L || ' ' || coalesce(s.k, x.k),
             CASE WHEN s.k IS NULL THEN 'it stands in no trail entry' WHEN x.k IS NULL THEN 'the trail has it, the table does not'
                  ELSE 'it differs from its trail entry' END,
             CASE WHEN s.k IS NOT NULL AND x.k IS NOT NULL THEN (SELECT jsonb_object_agg(d.key, jsonb_build_object('trail', d.value, 'kept', x.row -> d.key))
               FROM jsonb_each(to_jsonb(jsonb_populate_record(x.rec, s.row))) AS d WHERE d.value IS DISTINCT FROM x.row -> d.key) ELSE '{}' END
        FROM said s FULL JOIN (SELECT kept.*, %4$s AS k FROM kept) x ON x.k = s.k AND x.trail_sequence = s.sequence
       WHERE s.k IS NULL OR x.k IS NULL
          OR to_jsonb(jsonb_populate_record(x.rec, s.row)) <> x.row
          OR (x.row ? 'recorded_at' AND (x.row ->> 'recorded_at')::timestamptz <> s.recorded_at)
       ORDER BY 1, 2 $q$,
      v_table,
      CASE WHEN v_table = 'operation' THEN $s$(SELECT coalesce(jsonb_agg(o - 'postings'), '[]') FROM jsonb_array_elements(coalesce(e.body::jsonb -> 'operations', '[]')) AS o)$s$
           ELSE format('coalesce(e.body::jsonb -> ''rows'' -> %L, ''[]'')', v_table) END,
      (SELECT string_agg(format('(r.value ->> %L)', c), ' || ''/'' || ') FROM unnest(v_key[2:]) AS c),
      (SELECT string_agg(format('(kept.row ->> %L)', c), ' || ''/'' || ') FROM unnest(v_key[2:]) AS c))
      USING p_producer, p_from;
  END LOOP;

  RETURN QUERY
    SELECT r.trail_sequence, 'report ' || r.id, 'its bytes are not those of its hash', '{}'::jsonb
      FROM report r WHERE r.producer_id = p_producer AND r.trail_sequence >= p_from AND r.hash <> sha256(convert_to(r.bytes, 'UTF8'));

  RETURN QUERY
    SELECT o.trail_sequence, 'operation ' || o.id, 'its sequence does not follow the trail', jsonb_build_object('sequence', o.sequence)
      FROM (SELECT x.*, lag(x.trail_sequence) OVER (ORDER BY x.sequence) AS before, lag(x.sequence) OVER (ORDER BY x.sequence) AS seq_before
              FROM operation x WHERE x.producer_id = p_producer) o
     WHERE o.trail_sequence >= p_from AND (o.trail_sequence < o.before OR o.sequence <> coalesce(o.seq_before, 0) + 1);

  RETURN QUERY
    WITH said AS (
      SELECT e.sequence, (o.value ->> 'id')::uuid AS operation_id, (o.value ->> 'occurred_at')::timestamptz AS occurred_at, p.value - 'components' AS row,
             (p.value ->> 'line')::int AS line, coalesce(p.value -> 'components', '[]') AS components
        FROM trail_entry e, jsonb_array_elements(coalesce(e.body::jsonb -> 'operations', '[]')) AS o, jsonb_array_elements(o.value -> 'postings') AS p
       WHERE e.producer_id = p_producer AND e.sequence >= p_from),
    kept AS (
      SELECT p AS rec, p.operation_id, p.line, o.trail_sequence, o.sequence AS op_sequence,
             (SELECT coalesce(jsonb_agg(jsonb_build_array(c.origin, c.c_litres, c.c_lpa) ORDER BY c.origin), '[]') FROM posting_component c
               WHERE c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line) AS components
        FROM posting p LEFT JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
       WHERE p.producer_id = p_producer AND (o.trail_sequence IS NULL OR o.trail_sequence >= p_from))
    SELECT coalesce(s.sequence, k.trail_sequence), 'posting ' || coalesce(s.operation_id, k.operation_id) || ' line ' || coalesce(s.line, k.line),
           CASE WHEN s.line IS NULL THEN 'it stands in no trail entry' WHEN k.line IS NULL THEN 'the trail has it, the table does not'
                ELSE 'it differs from its trail entry' END,
           jsonb_build_object('trail', s.row, 'kept', to_jsonb(k.rec))
      FROM said s FULL JOIN kept k ON k.operation_id = s.operation_id AND k.line = s.line
     WHERE s.line IS NULL OR k.line IS NULL
        OR to_jsonb(jsonb_populate_record(k.rec, s.row || jsonb_build_object('operation_id', s.operation_id, 'occurred_at', s.occurred_at, 'operation_sequence', k.op_sequence))) <> to_jsonb(k.rec)
        OR (SELECT coalesce(jsonb_agg(jsonb_build_array(c.value ->> 0, (c.value ->> 1)::component, (c.value ->> 2)::component) ORDER BY c.value ->> 0), '[]')
              FROM jsonb_array_elements(s.components) AS c) <> k.components
     ORDER BY 1, 2;

  RETURN QUERY
    SELECT e.sequence, 'personal text ' || coalesce(t.id::text, x.value ->> 'id'), 'its hash differs from its trail entry', '{}'::jsonb
      FROM trail_entry e, jsonb_array_elements(coalesce(e.body::jsonb -> 'personalText', '[]')) AS x
      LEFT JOIN personal_text t ON t.producer_id = p_producer AND t.id = (x.value ->> 'id')::uuid
     WHERE e.producer_id = p_producer AND e.sequence >= p_from
       AND (t.id IS NULL OR encode(t.hash, 'hex') <> x.value ->> 'hash' OR (t.text IS NOT NULL AND sha256(t.salt || convert_to(t.text, 'UTF8')) <> t.hash));
END $$;
REVOKE ALL ON FUNCTION check_trail(uuid, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_trail(uuid, bigint) TO gaugebook_app;
