-- Refuses a write after which more of a packaged lot would have come back than had gone out, at any moment from the first one that the write
-- changes. So no more can be returned than is outstanding, and a release cannot be reversed while a later return rests on it.
CREATE OR REPLACE FUNCTION check_out(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_lot record;
  v_low record;
  v_back jsonb;
BEGIN
  FOR v_lot IN
    SELECT p.packaged_lot_id AS id, min(p.occurred_at) AS at
      FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'nominal'
     WHERE p.producer_id = p_producer AND p.operation_id = ANY (p_operations) AND p.packaged_lot_id IS NOT NULL AND p.litres < 0
     GROUP BY p.packaged_lot_id
  LOOP
    SELECT t.* INTO v_low FROM (
      SELECT g.at, sum(g.l) OVER upto AS l, sum(g.f) OVER upto AS f, sum(g.a) OVER upto AS a
        FROM (SELECT o.occurred_at AS at, sum(o.litres) AS l, sum(o.lpa_fermented) AS f, sum(o.lpa_added) AS a
                FROM out_lines(p_producer, v_lot.id) o GROUP BY o.occurred_at) g
      WINDOW upto AS (ORDER BY g.at)) t
     WHERE t.at >= v_lot.at AND (t.l < 0 OR t.f < 0 OR t.a < 0) ORDER BY t.at LIMIT 1;
    IF FOUND THEN
      SELECT jsonb_agg(o.operation_id ORDER BY o.operation_sequence) INTO v_back
        FROM out_lines(p_producer, v_lot.id) o
       WHERE o.occurred_at >= v_lot.at AND o.occurred_at <= v_low.at AND o.litres < 0 AND o.operation_id <> ALL (p_operations)
         AND NOT is_reversed(p_producer, o.operation_id)
         AND EXISTS (SELECT 1 FROM movement m WHERE m.producer_id = p_producer AND m.operation_id = o.operation_id);
      PERFORM fail('returned-since', (
        SELECT jsonb_build_object('packagedLot', v_lot.id, 'lotMark', k.lot_mark, 'container', k.container, 'nominalLitres', k.nominal_litres,
                 'at', v_low.at, 'timeZone', s.time_zone, 'outstandingThen', jsonb_build_object('value', v_low.l, 'unit', 'L'),
                 'operationsInTheWay', coalesce(v_back, '[]'))
          FROM packaged_lot k JOIN premises s ON s.producer_id = k.producer_id AND s.id = k.premises_id
         WHERE k.producer_id = p_producer AND k.id = v_lot.id));
    END IF;
  END LOOP;
END $$;
REVOKE ALL ON FUNCTION check_out(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_out(uuid, uuid[]) TO gaugebook_books;
