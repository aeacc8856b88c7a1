-- SHA-256 over five lines, each ended by a newline: version, sequence, recordedAt (µs, Z), previous hash, SHA-256 of the body.
CREATE OR REPLACE FUNCTION entry_hash(p_version int, p_sequence bigint, p_recorded_at timestamptz, p_previous bytea, p_body_hash bytea)
RETURNS bytea LANGUAGE sql STABLE SET search_path = pg_catalog, public, pg_temp AS $$
  SELECT sha256(convert_to(concat(
    p_version, E'\n', p_sequence, E'\n', to_char(p_recorded_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"'), E'\n',
    encode(p_previous, 'hex'), E'\n', encode(p_body_hash, 'hex'), E'\n'), 'UTF8'))
$$;
REVOKE ALL ON FUNCTION entry_hash(int, bigint, timestamptz, bytea, bytea) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION entry_hash(int, bigint, timestamptz, bytea, bytea) TO gaugebook_books, gaugebook_app;
