-- The only function that writes to the append-only tables. It takes a whole batch. The body is the batch in canonical JSON, and its exact bytes become
-- the trail entry, so that the rows and the trail agree when they are written.
--   body         {"rows": {table: [row…]}, "accounts": [row…], "operations": [{…row, "postings": [{…row, "components": [[origin, litres, lpa]…]}]}], …}
--   guard        {"principal", "idempotency"?: {route, key, bodyHash, status, response}, "reads"?: [{account, version}], "head"?,
--                 "chain"?, "checkedLater"?, "checkedWith"?: [operation]}
--   attachments  {"personalText"?: [{id, salt, text}], "reportBytes"?: {id: text}}: what the body names by its hash only
-- Every statement finds its rows by the producer and an id, so that one plan serves all calls and is not made anew for each.
CREATE OR REPLACE FUNCTION post(p_producer uuid, p_body text, p_recorded_at timestamptz, p_guard jsonb, p_attachments jsonb) RETURNS jsonb
LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp SET plan_cache_mode = force_generic_plan AS $$
DECLARE
  v_open jsonb := write_open(p_producer, p_recorded_at, p_guard, p_attachments);
  v_body jsonb := p_body::jsonb;
  v_at timestamptz := (v_open ->> 'recordedAt')::timestamptz;
  v_table text;
  v_stamp jsonb;
  v_op jsonb;
  v_seq bigint := (v_open ->> 'operation')::bigint;
  v_row operation;
  v_stock uuid[];
  v_own uuid[] := '{}';
  v_checked uuid[];
  v_touched record;
BEGIN
  IF v_open ? 'replay' THEN
    RETURN v_open;
  END IF;
  IF unknown_parts(v_body) <> '{}' THEN
    PERFORM fail('unknown-name', jsonb_build_object('in', 'body', 'name', (SELECT min(k) FROM jsonb_object_keys(unknown_parts(v_body)) AS k)));
  END IF;
  SET CONSTRAINTS ALL DEFERRED;
  v_stamp := jsonb_build_object('producer_id', p_producer, 'trail_sequence', v_open -> 'trail', 'recorded_at', v_at);

  IF v_body ? 'accounts' THEN
    PERFORM check_names('account', v_body -> 'accounts');
  END IF;
  INSERT INTO account SELECT q.*
    FROM jsonb_array_elements(coalesce(v_body -> 'accounts', '[]')) AS r, LATERAL jsonb_populate_record(NULL::account, r || v_stamp) AS q
    ON CONFLICT DO NOTHING;

  FOREACH v_table IN ARRAY row_tables() LOOP
    IF v_body -> 'rows' ? v_table THEN
      PERFORM check_names(v_table, v_body -> 'rows' -> v_table);
      EXECUTE format(
        'INSERT INTO %1$I SELECT q.* FROM jsonb_array_elements($2) AS r,
           LATERAL jsonb_populate_record(NULL::%1$I, r || CASE WHEN %1$L = ''report'' THEN jsonb_build_object(''bytes'', $3 -> (r ->> ''id'')) ELSE ''{}'' END || $1) AS q',
        v_table) USING v_stamp, v_body -> 'rows' -> v_table, coalesce(p_attachments -> 'reportBytes', '{}');
    END IF;
  END LOOP;

  FOR v_op IN SELECT o FROM jsonb_array_elements(coalesce(v_body -> 'operations', '[]')) AS o LOOP
    v_seq := v_seq + 1;
    PERFORM check_names('operation', jsonb_build_array(v_op - 'postings'));
    PERFORM check_names('posting', (SELECT jsonb_agg(p.value - 'components') FROM jsonb_array_elements(v_op -> 'postings') AS p));
    v_row := jsonb_populate_record(NULL::operation, (v_op - 'postings') || v_stamp || jsonb_build_object('sequence', v_seq));
    v_own := v_own || v_row.id;
    IF v_row.occurred_at > v_at + interval '5 minutes' THEN
      PERFORM fail('time-ahead', jsonb_build_object('occurredAt', v_row.occurred_at));
    END IF;
    INSERT INTO operation SELECT v_row.*;
    INSERT INTO posting
      SELECT q.* FROM jsonb_array_elements(v_op -> 'postings') AS p,
        LATERAL jsonb_populate_record(NULL::posting, (p.value - 'components') || jsonb_build_object(
          'producer_id', p_producer, 'operation_sequence', v_seq, 'operation_id', v_row.id, 'occurred_at', v_row.occurred_at)) AS q;
    INSERT INTO posting_component (producer_id, operation_sequence, line, origin, c_litres, c_lpa)
      SELECT p_producer, v_seq, (p.value ->> 'line')::int, c.value ->> 0, (c.value ->> 1)::component, (c.value ->> 2)::component
        FROM jsonb_array_elements(v_op -> 'postings') AS p, jsonb_array_elements(coalesce(p.value -> 'components', '[]')) AS c;

    PERFORM 1 FROM posting WHERE producer_id = p_producer AND operation_sequence = v_seq
      HAVING sum(litres) <> 0 OR sum(lpa_fermented) <> 0 OR sum(lpa_added) <> 0;
    IF FOUND THEN
      PERFORM fail('operation-unbalanced', jsonb_build_object('operation', v_row.id));
    END IF;
    PERFORM 1 FROM posting_component WHERE producer_id = p_producer AND operation_sequence = v_seq
      GROUP BY origin HAVING sum(c_litres) <> 0 OR sum(c_lpa) <> 0;
    IF FOUND THEN
      PERFORM fail('operation-unbalanced', jsonb_build_object('operation', v_row.id, 'in', 'components'));
    END IF;

    -- Every premises whose accounts are touched, the operation's own among them, has to have an open period there.
    PERFORM check_period(p_producer, t.premises_id, v_row.occurred_at) FROM (
      SELECT v_row.premises_id UNION
      SELECT a.premises_id FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
       WHERE p.producer_id = p_producer AND p.operation_sequence = v_seq) t;

    SELECT array_agg(DISTINCT account_id) INTO v_stock FROM posting WHERE producer_id = p_producer AND operation_sequence = v_seq;
    PERFORM check_order(p_producer, v_row.id, v_row.timing, v_row.occurred_at, v_row.explains, v_stock);

    INSERT INTO balance AS b (producer_id, account_id, litres, lpa_fermented, lpa_added, version, last_occurred_at, last_fixed_at)
      SELECT p_producer, account_id, sum(litres), sum(lpa_fermented), sum(lpa_added), 1, v_row.occurred_at,
             CASE WHEN v_row.timing <> 'draw' THEN v_row.occurred_at END
        FROM posting WHERE producer_id = p_producer AND operation_sequence = v_seq GROUP BY account_id
    ON CONFLICT (producer_id, account_id) DO UPDATE SET
      litres = b.litres + excluded.litres, lpa_fermented = b.lpa_fermented + excluded.lpa_fermented, lpa_added = b.lpa_added + excluded.lpa_added,
      version = b.version + 1, last_occurred_at = greatest(b.last_occurred_at, excluded.last_occurred_at),
      last_fixed_at = greatest(b.last_fixed_at, excluded.last_fixed_at);
  END LOOP;

  -- The first of a chain is checked with the one that follows it, taken together.
  v_checked := v_own || ARRAY(SELECT o::uuid FROM jsonb_array_elements_text(coalesce(p_guard -> 'checkedWith', '[]')) AS o);
  IF cardinality(v_own) > 0 THEN
    PERFORM check_explained(p_producer, v_own);
  END IF;
  IF NOT p_guard ? 'checkedLater' AND cardinality(v_checked) > 0 THEN
    FOR v_touched IN
      SELECT p.account_id, min(p.occurred_at) AS at FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
       WHERE p.producer_id = p_producer AND p.operation_id = ANY (v_checked) AND a.side = 'stock' GROUP BY p.account_id
    LOOP
      PERFORM check_tail(p_producer, v_touched.account_id, v_touched.at, v_checked);
    END LOOP;
    PERFORM check_vessels(p_producer, v_checked);
    PERFORM check_capacity(p_producer, v_checked);
    PERFORM check_out(p_producer, v_checked);
    PERFORM check_containers(p_producer, v_checked);
    PERFORM check_openings(p_producer, v_checked);
  END IF;
  IF v_body ? 'rows' THEN
    PERFORM check_rows_of(p_producer, v_body -> 'rows');
  END IF;

  PERFORM write_close(p_producer, p_body, v_at, p_guard, cardinality(v_own));
  SET CONSTRAINTS ALL IMMEDIATE;
  RETURN jsonb_build_object('trail', v_open -> 'trail', 'recordedAt', v_at);
END $$;
ALTER FUNCTION post(uuid, text, timestamptz, jsonb, jsonb) OWNER TO gaugebook_books;
REVOKE ALL ON FUNCTION post(uuid, text, timestamptz, jsonb, jsonb) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION post(uuid, text, timestamptz, jsonb, jsonb) TO gaugebook_app;
