-- The operations of one write that explain a gauge or a count add to zero on its stock accounts, so that the asserted amounts do not change.
-- A reversed operation cannot be explained. A finding that a reversal makes count again must not rest on a struck reading. An explained operation cannot be reversed before the operation that explains it.
CREATE OR REPLACE FUNCTION check_explained(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_hit record;
BEGIN
  -- Most writes neither explain nor reverse anything.
  PERFORM 1 FROM operation o
    WHERE o.producer_id = p_producer AND o.id = ANY (p_operations) AND (o.reverses IS NOT NULL OR o.explains IS NOT NULL);
  IF NOT FOUND THEN
    RETURN;
  END IF;
  SELECT o.explains INTO v_hit
    FROM operation o
    JOIN posting p ON p.producer_id = o.producer_id AND p.operation_sequence = o.sequence
    JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'stock'
   WHERE o.producer_id = p_producer AND o.id = ANY (p_operations) AND o.explains IS NOT NULL
     AND EXISTS (SELECT 1 FROM posting x WHERE x.producer_id = p_producer AND x.operation_id = o.explains AND x.account_id = p.account_id)
     AND NOT EXISTS (SELECT 1 FROM operation f WHERE f.producer_id = p_producer AND f.id = o.explains AND f.kind = 'finding')
   GROUP BY o.explains, p.account_id
  HAVING sum(p.litres) <> 0 OR sum(p.lpa_fermented) <> 0 OR sum(p.lpa_added) <> 0 LIMIT 1;
  IF FOUND THEN
    PERFORM fail('operation-unbalanced', jsonb_build_object('explains', v_hit.explains));
  END IF;
  -- Of what this write explains, and of what it reverses or reinstates, however far back. Materialized, so that is_reversed() is asked about these only.
  WITH RECURSIVE own AS (
    SELECT o.id, o.reverses, o.explains FROM operation o WHERE o.producer_id = p_producer AND o.id = ANY (p_operations)
      AND (o.reverses IS NOT NULL OR o.explains IS NOT NULL)),
  chain AS (
    SELECT w.reverses AS id FROM own w WHERE w.reverses IS NOT NULL
    UNION ALL
    SELECT o.reverses FROM chain c JOIN operation o ON o.producer_id = p_producer AND o.id = c.id WHERE o.reverses IS NOT NULL),
  about AS (SELECT id, true AS explained FROM (SELECT explains AS id FROM own WHERE explains IS NOT NULL) x UNION SELECT id, false FROM chain),
  entry AS MATERIALIZED (
    SELECT a.id AS assertion, e.id, e.sequence, a.explained
      FROM about a JOIN operation e ON e.producer_id = p_producer AND e.explains = a.id WHERE e.reverses IS NULL)
  SELECT e.assertion, e.id AS entry, e.explained INTO v_hit
    FROM entry e WHERE NOT is_reversed(p_producer, e.id) AND is_reversed(p_producer, e.assertion)
   ORDER BY e.explained DESC, e.sequence LIMIT 1;
  IF FOUND AND v_hit.explained THEN
    PERFORM fail('conflict', jsonb_build_object('operation', v_hit.assertion));
  ELSIF FOUND THEN
    PERFORM fail('in-use', jsonb_build_object('operation', v_hit.entry));
  END IF;
  -- A finding whose successor is reversed counts again; it may not rest on a reading that was struck for that successor.
  SELECT f.id AS finding, fr.reading_id AS reading INTO v_hit
    FROM operation o
    JOIN finding g ON g.producer_id = o.producer_id AND g.operation_id = o.reverses
    JOIN finding f ON f.producer_id = g.producer_id AND f.composition_id = g.composition_id AND f.id < g.id AND f.standing = g.standing
    JOIN finding_reading fr ON fr.producer_id = f.producer_id AND fr.finding_id = f.id
    JOIN reading_strike s ON s.producer_id = fr.producer_id AND s.reading_id = fr.reading_id
   WHERE o.producer_id = p_producer AND o.id = ANY (p_operations) AND o.reverses IS NOT NULL
     AND (f.operation_id IS NULL OR NOT is_reversed(p_producer, f.operation_id))
     AND NOT EXISTS (SELECT 1 FROM finding n
                      WHERE n.producer_id = f.producer_id AND n.composition_id = f.composition_id AND n.id > f.id AND n.standing = f.standing
                        AND (n.operation_id IS NULL OR NOT is_reversed(p_producer, n.operation_id))) LIMIT 1;
  IF FOUND THEN
    PERFORM fail('reading-in-use', jsonb_build_object('reading', v_hit.reading, 'finding', v_hit.finding, 'countsAgain', true));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_explained(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_explained(uuid, uuid[]) TO gaugebook_books;
