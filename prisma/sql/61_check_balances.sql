-- The books' own sums: each operation adds to zero in each measure, each balance equals its postings and knows the last of them, no stock below zero.
CREATE OR REPLACE FUNCTION check_balances(p_producer uuid) RETURNS TABLE (place text, problem text, details jsonb)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT 'operation ' || p.operation_id, 'it does not add to zero',
         jsonb_build_object('litres', sum(p.litres), 'lpaFermented', sum(p.lpa_fermented), 'lpaAdded', sum(p.lpa_added))
    FROM posting p WHERE p.producer_id = p_producer GROUP BY p.operation_id
  HAVING sum(p.litres) <> 0 OR sum(p.lpa_fermented) <> 0 OR sum(p.lpa_added) <> 0
  UNION ALL
  SELECT 'account ' || a.key, 'its balance is not the sum of its postings', jsonb_build_object(
           'balance', jsonb_build_array(b.litres, b.lpa_fermented, b.lpa_added, b.last_occurred_at, b.last_fixed_at),
           'postings', jsonb_build_array(s.l, s.f, s.a, s.last_at, s.fixed_at))
    FROM account a
    LEFT JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
    LEFT JOIN (SELECT p.account_id, sum(p.litres) AS l, sum(p.lpa_fermented) AS f, sum(p.lpa_added) AS a, max(p.occurred_at) AS last_at,
                      max(p.occurred_at) FILTER (WHERE o.timing <> 'draw') AS fixed_at
                 FROM posting p LEFT JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
                WHERE p.producer_id = p_producer GROUP BY p.account_id) s
      ON s.account_id = a.id
   WHERE a.producer_id = p_producer
     AND (b.last_occurred_at IS DISTINCT FROM s.last_at OR b.last_fixed_at IS DISTINCT FROM s.fixed_at
          OR coalesce(b.litres, 0) <> coalesce(s.l, 0) OR coalesce(b.lpa_fermented, 0) <> coalesce(s.f, 0) OR coalesce(b.lpa_added, 0) <> coalesce(s.a, 0))
  UNION ALL
  SELECT 'account ' || a.key, 'stock below zero', jsonb_build_object('litres', b.litres)
    FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
   WHERE a.producer_id = p_producer AND a.side = 'stock' AND (b.litres < 0 OR b.lpa_fermented < 0 OR b.lpa_added < 0)
$$;
REVOKE ALL ON FUNCTION check_balances(uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_balances(uuid) TO gaugebook_app;
