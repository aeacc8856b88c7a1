-- Everything that keeps premises from being closed down: open periods, alcohol in stock, goods on the way from or to them, and movements without their proof.
CREATE OR REPLACE FUNCTION remains_at(p_producer uuid, p_premises uuid) RETURNS TABLE (kind text, name text)
LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT 'period', p.starts_on || ' to ' || (p.ends_before - 1)
    FROM period p WHERE p.producer_id = p_producer AND p.premises_id = p_premises
     AND NOT EXISTS (SELECT FROM report r WHERE r.producer_id = p.producer_id AND r.period_id = p.id)
     AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id)
  UNION ALL
  SELECT CASE a.kind WHEN 'in-transit' THEN 'in-transit' ELSE 'stock' END,
         concat(trim_scale(b.litres), ' L of ', coalesce(k.lot_mark, m.code, (
           SELECT l.code FROM composition c JOIN lot l ON l.producer_id = c.producer_id AND l.id = c.lot_id
            WHERE c.producer_id = a.producer_id AND c.id = a.composition_id), a.category), ' in ' || v.name)
    FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
    LEFT JOIN packaged_lot k ON k.producer_id = a.producer_id AND k.id = a.packaged_lot_id
    LEFT JOIN material_lot m ON m.producer_id = a.producer_id AND m.id = a.material_lot_id
    LEFT JOIN vessel v ON v.producer_id = a.producer_id AND v.id = a.vessel_id
    LEFT JOIN transit t ON t.producer_id = a.producer_id AND t.operation_id = a.transit_id
   WHERE a.producer_id = p_producer AND a.side = 'stock' AND (a.premises_id = p_premises OR t.to_premises_id = p_premises)
     AND (b.litres <> 0 OR b.lpa_fermented <> 0 OR b.lpa_added <> 0)
  UNION ALL
  SELECT 'proof', concat(CASE m.kind WHEN 'export' THEN 'export' ELSE 'dispatch' END, ' of ', (o.occurred_at AT TIME ZONE s.time_zone)::date,
                         ', document ' || (m.evidence ->> 'document'))
    FROM movement m JOIN operation o ON o.producer_id = m.producer_id AND o.id = m.operation_id
    JOIN premises s ON s.producer_id = o.producer_id AND s.id = o.premises_id
   WHERE m.producer_id = p_producer AND o.premises_id = p_premises AND m.kind IN ('export', 'dispatch-suspended') AND NOT m.evidence ? 'proof'
     AND NOT is_reversed(o.producer_id, o.id)
     AND NOT EXISTS (SELECT FROM movement_proof x WHERE x.producer_id = m.producer_id AND x.operation_id = m.operation_id)
$$;

-- Refuses to retire premises at which anything remains, or that have a period and were not closed down, and to bring back those that were.
-- The lock of the producer's head row is held, so nothing is entered meanwhile.
CREATE OR REPLACE FUNCTION check_premises() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_remains jsonb;
  v_refused jsonb;
BEGIN
  IF OLD.closing_down IS NOT NULL AND (NEW.retired_at IS NULL OR NEW.closing_down IS DISTINCT FROM OLD.closing_down) THEN
    v_refused := jsonb_build_object('closedDown', true);
  ELSIF OLD.retired_at IS NULL AND NEW.retired_at IS NOT NULL THEN
    SELECT jsonb_agg(jsonb_build_object('kind', r.kind, 'name', r.name)) INTO v_remains FROM remains_at(OLD.producer_id, OLD.id) AS r;
    IF v_remains IS NOT NULL THEN
      v_refused := jsonb_build_object('remains', v_remains);
    ELSIF NEW.closing_down IS NULL AND EXISTS (SELECT FROM report r JOIN period p ON p.producer_id = r.producer_id AND p.id = r.period_id
                                             WHERE p.producer_id = OLD.producer_id AND p.premises_id = OLD.id) THEN
      v_refused := jsonb_build_object('hasReports', true);
    END IF;
  END IF;
  -- As fail() says it, which only the books may call.
  IF v_refused IS NOT NULL THEN
    RAISE EXCEPTION USING ERRCODE = 'GB001',
      MESSAGE = 'GAUGEBOOK ' || (jsonb_build_object('code', 'in-use', 'premisesName', OLD.name) || v_refused)::text;
  END IF;
  RETURN NEW;
END $$;
REVOKE ALL ON FUNCTION remains_at(uuid, uuid), check_premises() FROM PUBLIC;
GRANT EXECUTE ON FUNCTION remains_at(uuid, uuid) TO gaugebook_books, gaugebook_app;
DROP TRIGGER IF EXISTS check_premises ON premises;
CREATE TRIGGER check_premises BEFORE UPDATE ON premises FOR EACH ROW EXECUTE FUNCTION check_premises();
