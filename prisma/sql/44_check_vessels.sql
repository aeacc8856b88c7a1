-- A vessel holds one composition at a time: two lots in it are a blend and are entered as one. Looked at under the head's lock, because two
-- requests that each found the vessel empty touch different accounts.
CREATE OR REPLACE FUNCTION check_vessels(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_hit record;
BEGIN
  SELECT a.vessel_id, c.lot_id INTO v_hit
    FROM (SELECT DISTINCT p.account_id FROM posting p WHERE p.producer_id = p_producer AND p.operation_id = ANY (p_operations)) t
    JOIN account a ON a.producer_id = p_producer AND a.id = t.account_id AND a.side = 'stock' AND a.vessel_id IS NOT NULL
    JOIN balance b ON b.producer_id = p_producer AND b.account_id = a.id AND b.litres > 0
    JOIN account o ON o.producer_id = p_producer AND o.vessel_id = a.vessel_id AND o.side = 'stock' AND o.composition_id <> a.composition_id
    JOIN balance ob ON ob.producer_id = p_producer AND ob.account_id = o.id AND ob.litres > 0
    JOIN composition c ON c.producer_id = p_producer AND c.id = o.composition_id
   LIMIT 1;
  IF FOUND THEN
    PERFORM fail('vessel-in-use', jsonb_build_object('vessel', v_hit.vessel_id, 'lot', v_hit.lot_id));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_vessels(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_vessels(uuid, uuid[]) TO gaugebook_books;
