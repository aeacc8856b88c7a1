-- No number of a producer may be NaN: a range check lets it through, and it spoils every sum that it enters.
DO $$
DECLARE
  v_column record;
BEGIN
  FOR v_column IN
    SELECT c.relname AS rel, a.attname AS col, left(c.relname || '_' || a.attname, 56) || '_number' AS name
      FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid
     WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND a.attnum > 0 AND NOT a.attisdropped
       AND a.atttypid = 'numeric'::regtype AND c.relrowsecurity
       AND NOT EXISTS (SELECT FROM pg_constraint k WHERE k.conrelid = c.oid AND k.conname = left(c.relname || '_' || a.attname, 56) || '_number')
  LOOP
    EXECUTE format('ALTER TABLE %I ADD CONSTRAINT %I CHECK (%I <> ''NaN'')', v_column.rel, v_column.name, v_column.col);
  END LOOP;
END $$;
