-- Exactly one open period of the premises must cover the moment. A period with a report is closed; one that was withdrawn covers nothing.
CREATE OR REPLACE FUNCTION check_period(p_producer uuid, p_premises uuid, p_at timestamptz) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_period record;
BEGIN
  SELECT p.id, p.starts_on, p.ends_before, r.id AS report INTO v_period
    FROM period p LEFT JOIN report r ON r.producer_id = p.producer_id AND r.period_id = p.id
   WHERE p.producer_id = p_producer AND p.premises_id = p_premises AND p.starts_at <= p_at AND p_at < p.ends_at
     AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id);
  IF NOT FOUND THEN
    -- Premises that the producer does not have are refused too: they have no period, and no name to tell.
    PERFORM fail('period-not-open', jsonb_build_object('at', p_at, 'premises', p_premises) || coalesce((
      SELECT jsonb_build_object('premisesName', s.name, 'timeZone', s.time_zone)
        FROM premises s WHERE s.producer_id = p_producer AND s.id = p_premises), '{}'));
  ELSIF v_period.report IS NOT NULL THEN
    PERFORM fail('period-closed', jsonb_build_object('at', p_at, 'period', v_period.id, 'startsOn', v_period.starts_on, 'endsBefore', v_period.ends_before));
  END IF;
END $$;
REVOKE ALL ON FUNCTION check_period(uuid, uuid, timestamptz) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION check_period(uuid, uuid, timestamptz) TO gaugebook_books;
