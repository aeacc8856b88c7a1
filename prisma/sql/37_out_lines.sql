-- Postings of a packaged lot to nominal accounts by releases, dispatches, exports, returns and losses of what was sent, and by their reversals and
-- reinstatements, whatever line of the report they are on. Of such a loss only the line that it is taken off names the packaged lot. Their sum up to a moment is the amount outstanding then.
CREATE OR REPLACE FUNCTION out_lines(p_producer uuid, p_packaged_lot uuid) RETURNS TABLE (
  operation_id uuid, operation_sequence bigint, line int, occurred_at timestamptz, litres numeric, lpa_fermented numeric, lpa_added numeric)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  WITH RECURSIVE ways AS (
    SELECT m.operation_id AS id FROM movement m
     WHERE m.producer_id = p_producer AND m.packaged_lot_id = p_packaged_lot AND (m.kind IN ('release', 'dispatch-suspended', 'export', 'return')
        OR m.kind = 'transit-loss' AND EXISTS (
          SELECT 1 FROM operation l WHERE l.producer_id = m.producer_id AND l.id = m.operation_id AND l.document ? 'lostFrom'))
    UNION ALL
    SELECT o.id FROM operation o JOIN ways w ON o.reverses = w.id WHERE o.producer_id = p_producer)
  SELECT p.operation_id, p.operation_sequence, p.line, p.occurred_at, p.litres, p.lpa_fermented, p.lpa_added
    FROM ways w
    JOIN posting p ON p.producer_id = p_producer AND p.operation_id = w.id AND p.packaged_lot_id = p_packaged_lot
    JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'nominal'
$$;
REVOKE ALL ON FUNCTION out_lines(uuid, uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION out_lines(uuid, uuid) TO gaugebook_app, gaugebook_books;
