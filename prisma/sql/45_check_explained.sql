-- What explains an assertion undoes itself there: the operations of one write that name it add to nothing on its stock accounts, so that what
-- was asserted still stands. Nothing explains what has been reversed, and what has been explained is not reversed before what explains it.
CREATE OR REPLACE FUNCTION check_explained(p_producer uuid, p_operations uuid[]) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_hit record;
BEGIN
  SELECT o.explains INTO v_hit
    FROM operation o
    JOIN posting p ON p.producer_id = o.producer_id AND p.operation_sequence = o.sequence
    JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'stock'
   WHERE o.producer_id = p_producer AND o.id = ANY (p_operations) AND o.explains IS NOT NULL
     AND EXISTS (SELECT 1 FROM posting x WHERE x.producer_id = p_producer AND x.operation_id = o.explains AND x.account_id = p.account_id)
   GROUP BY o.explains, p.account_id
  HAVING sum(p.litres) <> 0 OR sum(p.lpa_fermented) <> 0 OR sum(p.lpa_added) <> 0 LIMIT 1;
  IF FOUND THEN
    PERFORM fail('operation-unbalanced', jsonb_build_object('explains', v_hit.explains));
  END IF;
  SELECT o.explains INTO v_hit FROM operation o
   WHERE o.producer_id = p_producer AND o.id = ANY (p_operations) AND o.explains IS NOT NULL AND o.reverses IS NULL
     AND is_reversed(p_producer, o.explains) LIMIT 1;
  IF FOUND THEN
    PERFORM fail('conflict', jsonb_build_object('operation', v_hit.explains));
  END IF;
  SELECT e.id INTO v_hit FROM operation o JOIN operation e ON e.producer_id = o.producer_id AND e.explains = o.reverses
   WHERE o.producer_id = p_producer AND o.id = ANY (p_operations) AND e.reverses IS NULL AND NOT is_reversed(p_producer, e.id) LIMIT 1;
  IF FOUND THEN
    PERFORM fail('in-use', jsonb_build_object('operation', v_hit.id));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_explained(uuid, uuid[]) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_explained(uuid, uuid[]) TO gaugebook_books;
