-- The order in time: a change of composition or an assertion may not come before a later posting on its stock accounts;
-- a draw may, but not before the account's last change or assertion.
CREATE OR REPLACE FUNCTION check_timing(p_producer uuid, p_operation uuid, p_timing text, p_occurred_at timestamptz, p_accounts uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_way record;
BEGIN
  SELECT a.key, b.account_id, b.last_fixed_at, b.last_occurred_at INTO v_way
    FROM balance b JOIN account a ON a.producer_id = b.producer_id AND a.id = b.account_id
   WHERE b.producer_id = p_producer AND b.account_id = ANY (p_accounts) AND a.side = 'stock'
     AND CASE WHEN p_timing = 'draw' THEN b.last_fixed_at > p_occurred_at ELSE b.last_occurred_at > p_occurred_at END
   ORDER BY a.key LIMIT 1;
  IF FOUND THEN
    PERFORM fail(CASE WHEN p_timing = 'draw' THEN 'assertion-in-the-way' ELSE 'later-posting-in-the-way' END,
      (SELECT jsonb_build_object('account', v_way.key, 'operation', o.id, 'operationKind', o.kind, 'at', o.occurred_at)
         FROM posting p JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
        WHERE p.producer_id = p_producer AND p.account_id = v_way.account_id AND p.occurred_at > p_occurred_at
          AND o.id <> p_operation AND (p_timing <> 'draw' OR o.timing <> 'draw')
        ORDER BY o.occurred_at DESC LIMIT 1));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_timing(uuid, uuid, text, timestamptz, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_timing(uuid, uuid, text, timestamptz, uuid[]) TO gaugebook_books;
