-- The one place that gives a table its row security, grants and triggers. Kinds:
--   settings   plain records: the application inserts and updates, nobody deletes
--   books      append-only: only the books' functions insert, nobody updates or deletes
--   state      kept by the books' functions (balances, the head, idempotency, personal text)
CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  RAISE EXCEPTION 'table % is append-only', TG_TABLE_NAME USING ERRCODE = 'GB002';
END $$;

CREATE OR REPLACE FUNCTION make_tenant_table(p_table regclass, p_kind text, p_key text DEFAULT 'producer_id') RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  t text := p_table::text;
BEGIN
  IF p_kind NOT IN ('settings', 'books', 'state') THEN
    RAISE EXCEPTION 'unknown kind of tenant table: %', p_kind;
  END IF;
  EXECUTE format('ALTER TABLE %s ENABLE ROW LEVEL SECURITY', t);
  EXECUTE format('ALTER TABLE %s FORCE ROW LEVEL SECURITY', t);
  EXECUTE format('DROP POLICY IF EXISTS own_producer ON %s', t);
  EXECUTE format(
    'CREATE POLICY own_producer ON %s USING (%I = (SELECT nullif(current_setting(''app.producer'', true), '''')::uuid))', t, p_key);
  EXECUTE format('REVOKE ALL ON %s FROM PUBLIC, gaugebook_app, gaugebook_books', t);
  EXECUTE format('GRANT SELECT ON %s TO gaugebook_app', t);
  EXECUTE format('GRANT SELECT, INSERT ON %s TO gaugebook_books', t);
  IF p_kind = 'settings' THEN
    EXECUTE format('GRANT INSERT, UPDATE ON %s TO gaugebook_app', t);
  ELSIF p_kind = 'state' THEN
    EXECUTE format('GRANT UPDATE ON %s TO gaugebook_books', t);
  END IF;
  EXECUTE format('DROP TRIGGER IF EXISTS refuse_delete ON %s', t);
  EXECUTE format('DROP TRIGGER IF EXISTS refuse_truncate ON %s', t);
  EXECUTE format('DROP TRIGGER IF EXISTS refuse_update ON %s', t);
  EXECUTE format('CREATE TRIGGER refuse_delete BEFORE DELETE ON %s FOR EACH ROW EXECUTE FUNCTION refuse_change()', t);
  EXECUTE format('CREATE TRIGGER refuse_truncate BEFORE TRUNCATE ON %s FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()', t);
  IF p_kind = 'books' THEN
    EXECUTE format('CREATE TRIGGER refuse_update BEFORE UPDATE ON %s FOR EACH ROW EXECUTE FUNCTION refuse_change()', t);
  END IF;
END $$;

REVOKE ALL ON FUNCTION make_tenant_table(regclass, text, text), refuse_change() FROM PUBLIC;
