-- True if anything was entered in a period: an operation of its premises, or a posting on one of their accounts.
CREATE OR REPLACE FUNCTION period_is_used(d period) RETURNS boolean LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT EXISTS (SELECT FROM operation o WHERE o.producer_id = d.producer_id AND o.premises_id = d.premises_id
                    AND o.occurred_at >= d.starts_at AND o.occurred_at < d.ends_at)
      OR EXISTS (SELECT FROM account a JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
                  WHERE a.producer_id = d.producer_id AND a.premises_id = d.premises_id AND p.occurred_at >= d.starts_at AND p.occurred_at < d.ends_at)
      OR EXISTS (SELECT FROM operation o WHERE o.producer_id = d.producer_id AND o.earlier_period_id = d.id)
$$;
REVOKE ALL ON FUNCTION period_is_used(period) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION period_is_used(period) TO gaugebook_books, gaugebook_app;
