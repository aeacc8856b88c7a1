-- One round trip for the guard: sets the producer named in the key and answers the key with its producer, or nothing.
CREATE OR REPLACE FUNCTION authenticate(p_producer uuid, p_key uuid) RETURNS TABLE (
  secret_hash bytea, role text, scopes text[], expires_at timestamptz, revoked_at timestamptz, producer_name text, simulated boolean,
  display_units jsonb)
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  PERFORM set_config('app.producer', p_producer::text, true);
  RETURN QUERY SELECT k.secret_hash, k.role, k.scopes, k.expires_at, k.revoked_at, p.name, p.simulated, p.settings -> 'displayUnits'
    FROM api_key k JOIN producer p ON p.id = k.producer_id WHERE k.producer_id = p_producer AND k.id = p_key;
END $$;
REVOKE ALL ON FUNCTION authenticate(uuid, uuid) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION authenticate(uuid, uuid) TO gaugebook_app;
