-- Refuses when a stock account falls below zero at any moment from p_from on, netted per instant, in one pass over the tail.
CREATE OR REPLACE FUNCTION check_tail(p_producer uuid, p_account uuid, p_from timestamptz, p_own uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_low record;
  v_facts jsonb;
  v_in_way jsonb;
BEGIN
  SELECT t.* INTO v_low FROM (
    SELECT g.at,
           b.litres - coalesce(sum(g.l) OVER later, 0) AS l,
           b.lpa_fermented - coalesce(sum(g.f) OVER later, 0) AS f,
           b.lpa_added - coalesce(sum(g.a) OVER later, 0) AS a
      FROM balance b,
           LATERAL (SELECT p.occurred_at AS at, sum(p.litres) AS l, sum(p.lpa_fermented) AS f, sum(p.lpa_added) AS a
                      FROM posting p
                     WHERE p.producer_id = p_producer AND p.account_id = p_account AND p.occurred_at >= p_from
                     GROUP BY p.occurred_at) g
     WHERE b.producer_id = p_producer AND b.account_id = p_account
    WINDOW later AS (ORDER BY g.at DESC ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING)) t
   WHERE t.l < 0 OR t.f < 0 OR t.a < 0 OR t.f + t.a > t.l OR (t.l = 0 AND t.f + t.a <> 0)
   ORDER BY t.at LIMIT 1;
  IF FOUND THEN
    SELECT jsonb_build_object('account', a.key, 'timeZone', s.time_zone, 'container', k.container, 'nominalLitres', k.nominal_litres)
      INTO v_facts
      FROM account a JOIN premises s ON s.producer_id = a.producer_id AND s.id = a.premises_id
      LEFT JOIN packaged_lot k ON k.producer_id = a.producer_id AND k.id = a.packaged_lot_id
     WHERE a.producer_id = p_producer AND a.id = p_account;
    SELECT jsonb_agg(DISTINCT p.operation_id) INTO v_in_way FROM posting p
     WHERE p.producer_id = p_producer AND p.account_id = p_account AND p.occurred_at = v_low.at AND p.operation_id <> ALL (p_own);
    PERFORM fail('insufficient-stock', jsonb_strip_nulls(v_facts) || jsonb_build_object(
      'at', v_low.at, 'balanceThen', jsonb_build_object('value', v_low.l, 'unit', 'L'),
      'pureAlcoholThen', jsonb_build_object('value', v_low.f + v_low.a, 'unit', 'L'), 'operationsInTheWay', coalesce(v_in_way, '[]')));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_tail(uuid, uuid, timestamptz, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_tail(uuid, uuid, timestamptz, uuid[]) TO gaugebook_books;
