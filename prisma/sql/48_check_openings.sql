-- Premises have one opening: a write that enters or reinstates an opening is refused while another one is not reversed.
CREATE OR REPLACE FUNCTION check_openings(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_own record;
  v_other uuid;
BEGIN
  -- The openings that this write enters, or that its reversals lead back to, however far.
  FOR v_own IN
    WITH RECURSIVE chain AS (
      SELECT o.id, o.kind, o.premises_id, o.reverses FROM operation o
       WHERE o.producer_id = p_producer AND o.id = ANY (p_operations) AND (o.kind = 'opening' OR o.reverses IS NOT NULL)
      UNION ALL
      SELECT o.id, o.kind, o.premises_id, o.reverses FROM chain c JOIN operation o ON o.producer_id = p_producer AND o.id = c.reverses)
    SELECT c.id, c.premises_id FROM chain c WHERE c.kind = 'opening' AND NOT is_reversed(p_producer, c.id)
  LOOP
    SELECT o.id INTO v_other FROM operation o
     WHERE o.producer_id = p_producer AND o.premises_id = v_own.premises_id AND o.kind = 'opening' AND o.id <> v_own.id
       AND NOT is_reversed(p_producer, o.id) LIMIT 1;
    IF FOUND THEN
      PERFORM fail('conflict', jsonb_build_object('operation', v_other));
    END IF;
  END LOOP;
END $$;
REVOKE ALL ON FUNCTION check_openings(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_openings(uuid, uuid[]) TO gaugebook_books;
