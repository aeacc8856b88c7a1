-- Tables that a body may list under "rows", in the order in which post() fills them.
CREATE OR REPLACE FUNCTION row_tables() RETURNS text[] LANGUAGE sql IMMUTABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT ARRAY['material_lot', 'composition', 'packaged_lot', 'period', 'period_withdrawal', 'reading', 'finding', 'finding_reading', 'reading_strike', 'reading_confirmation', 'movement',
               'gauge', 'stock_count', 'transit', 'container_event', 'plan', 'process_step', 'movement_proof', 'filing', 'material_entry', 'report']
$$;

-- Columns of a table that a body gives; the database fills the others itself. The list is written into the function when this file is applied, as it
-- is after each migration: a look into the catalogue at every write would cost more than the insert.
DO $make$
BEGIN
  EXECUTE (SELECT format($f$
    CREATE OR REPLACE FUNCTION given_columns(p_table text) RETURNS text[] LANGUAGE plpgsql IMMUTABLE SET search_path = pg_catalog, public, pg_temp AS $body$
    BEGIN
      CASE p_table %s END CASE;
    END $body$ $f$, string_agg(format('WHEN %L THEN RETURN %L::text[];', t.name, t.columns), ' '))
    FROM (
      SELECT n.name, array_agg(a.attname::text ORDER BY a.attnum) AS columns
        FROM unnest(row_tables() || ARRAY['account', 'operation', 'posting']) AS n (name)
        JOIN pg_attribute a ON a.attrelid = n.name::regclass AND a.attnum > 0 AND NOT a.attisdropped
         AND a.attname <> ALL (ARRAY['producer_id', 'trail_sequence', 'recorded_at'] || CASE n.name
           WHEN 'report' THEN ARRAY['bytes'] WHEN 'operation' THEN ARRAY['sequence']
           WHEN 'posting' THEN ARRAY['operation_sequence', 'operation_id', 'occurred_at'] ELSE '{}' END)
       GROUP BY n.name) t);
END $make$;

-- Properties of a body, and tables under its "rows", that post() knows nothing of: {} where there are none.
CREATE OR REPLACE FUNCTION unknown_parts(p_body jsonb) RETURNS jsonb LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT (p_body - ARRAY['version', 'actor', 'action', 'rows', 'accounts', 'operations', 'facts', 'personalText'])
      || (coalesce(p_body -> 'rows', '{}') - row_tables())
$$;

-- Refuses rows with a name that is no column which a body gives: jsonb_populate_record() would leave its value out without a word.
CREATE OR REPLACE FUNCTION check_names(p_table text, p_rows jsonb) RETURNS void
LANGUAGE plpgsql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_given text[] := given_columns(p_table);
  v_name text;
BEGIN
  SELECT k INTO v_name FROM jsonb_array_elements(p_rows) AS r, jsonb_object_keys(r.value - v_given) AS k LIMIT 1;
  IF FOUND THEN
    PERFORM fail('unknown-name', jsonb_build_object('in', p_table, 'name', v_name));
  END IF;
END $$;
REVOKE ALL ON FUNCTION row_tables(), given_columns(text), unknown_parts(jsonb), check_names(text, jsonb) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION row_tables(), given_columns(text), unknown_parts(jsonb) TO gaugebook_app;
GRANT EXECUTE ON FUNCTION row_tables(), given_columns(text), unknown_parts(jsonb), check_names(text, jsonb) TO gaugebook_books;
