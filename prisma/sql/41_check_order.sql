-- The order in time. A change of composition or an assertion may not come before a later posting on its stock accounts. A draw may, but not before
-- a later change or assertion. A stock-take changes no composition, so that later draws do not prevent it. An operation that explains an assertion
-- adds to zero on the accounts of the assertion, so that neither the assertion nor a later posting there prevents it. A finding asserts a strength and no
-- volume: an operation that explains one is not prevented by other findings, and one that explains a gauge is not by the findings before that.
-- Reversed operations prevent nothing.
CREATE OR REPLACE FUNCTION check_order(
  p_producer uuid, p_operation uuid, p_timing text, p_occurred_at timestamptz, p_explains uuid, p_accounts uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_later uuid[];
  v_way record;
  v_draws boolean := p_timing = 'draw';
  v_explained timestamptz;
  v_explained_kind text;
BEGIN
  IF NOT v_draws THEN
    SELECT coalesce(r.kind, o.kind) = 'count' INTO v_draws
      FROM operation o LEFT JOIN operation r ON r.producer_id = o.producer_id AND r.id = o.reverses
     WHERE o.producer_id = p_producer AND o.id = p_operation;
  END IF;
  SELECT array_agg(b.account_id) INTO v_later
    FROM balance b JOIN account a ON a.producer_id = b.producer_id AND a.id = b.account_id
   WHERE b.producer_id = p_producer AND b.account_id = ANY (p_accounts) AND a.side = 'stock'
     AND CASE WHEN v_draws THEN b.last_fixed_at > p_occurred_at ELSE b.last_occurred_at > p_occurred_at END;
  IF v_later IS NULL THEN
    RETURN;
  END IF;
  IF p_explains IS NOT NULL THEN
    SELECT occurred_at, kind INTO v_explained, v_explained_kind FROM operation WHERE producer_id = p_producer AND id = p_explains;
  END IF;
  SELECT a.key, o.id, o.kind, o.occurred_at, s.time_zone, o.document ->> 'movement' AS movement INTO v_way
    FROM posting p
    JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
    JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
    JOIN premises s ON s.producer_id = a.producer_id AND s.id = a.premises_id
   WHERE p.producer_id = p_producer AND p.account_id = ANY (v_later) AND p.occurred_at > p_occurred_at AND o.id <> p_operation
     AND (NOT v_draws OR o.timing <> 'draw')
     AND (p_explains IS NULL OR NOT (o.id = p_explains OR o.kind = 'finding' OR v_explained_kind <> 'finding' AND o.occurred_at > v_explained AND EXISTS (
       SELECT 1 FROM posting x WHERE x.producer_id = p_producer AND x.operation_id = p_explains AND x.account_id = p.account_id)))
     AND o.reverses IS NULL AND NOT is_reversed(p_producer, o.id)
   ORDER BY o.occurred_at, o.sequence LIMIT 1;
  IF FOUND THEN
    PERFORM fail(CASE WHEN p_timing = 'draw' THEN 'assertion-in-the-way' ELSE 'later-posting-in-the-way' END,
      jsonb_strip_nulls(jsonb_build_object('account', v_way.key, 'operation', v_way.id, 'operationKind', v_way.kind,
        'movementKind', v_way.movement, 'at', v_way.occurred_at, 'timeZone', v_way.time_zone)));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_order(uuid, uuid, text, timestamptz, uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_order(uuid, uuid, text, timestamptz, uuid, uuid[]) TO gaugebook_books;
