-- The order in time: a change of composition or an assertion may not come before a later posting on its stock accounts; a draw may, but not
-- before a later change or assertion, unless it says that it explains that one. What has been reversed stands in nobody's way.
CREATE OR REPLACE FUNCTION check_order(
  p_producer uuid, p_operation uuid, p_timing text, p_occurred_at timestamptz, p_explains uuid, p_accounts uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_later uuid[];
  v_way record;
BEGIN
  SELECT array_agg(b.account_id) INTO v_later
    FROM balance b JOIN account a ON a.producer_id = b.producer_id AND a.id = b.account_id
   WHERE b.producer_id = p_producer AND b.account_id = ANY (p_accounts) AND a.side = 'stock'
     AND CASE WHEN p_timing = 'draw' THEN b.last_fixed_at > p_occurred_at ELSE b.last_occurred_at > p_occurred_at END;
  IF v_later IS NULL THEN
    RETURN;
  END IF;
  SELECT a.key, o.id, o.kind, o.occurred_at INTO v_way
    FROM posting p
    JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
    JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
   WHERE p.producer_id = p_producer AND p.account_id = ANY (v_later) AND p.occurred_at > p_occurred_at
     AND o.id <> p_operation AND o.id IS DISTINCT FROM p_explains AND (p_explains IS NULL OR o.explains IS DISTINCT FROM p_explains)
     AND (p_timing <> 'draw' OR o.timing <> 'draw')
     AND o.reverses IS NULL AND NOT is_reversed(p_producer, o.id)
   ORDER BY o.occurred_at, o.sequence LIMIT 1;
  IF FOUND THEN
    PERFORM fail(CASE WHEN p_timing = 'draw' THEN 'assertion-in-the-way' ELSE 'later-posting-in-the-way' END,
      jsonb_build_object('account', v_way.key, 'operation', v_way.id, 'operationKind', v_way.kind, 'at', v_way.occurred_at));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_order(uuid, uuid, text, timestamptz, uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_order(uuid, uuid, text, timestamptz, uuid, uuid[]) TO gaugebook_books;
