-- Closes a write: the trail entry over the body's exact bytes, the head, and the idempotency row, all in the write's own transaction.
CREATE OR REPLACE FUNCTION write_close(p_producer uuid, p_body text, p_recorded_at timestamptz, p_guard jsonb, p_operations int) RETURNS void
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_head producer_head;
  v_idem jsonb := p_guard -> 'idempotency';
  v_body_hash bytea := sha256(convert_to(p_body, 'UTF8'));
  v_entry_hash bytea;
BEGIN
  SELECT * INTO v_head FROM producer_head WHERE producer_id = p_producer FOR NO KEY UPDATE;
  -- A caller that closes a write without opening it cannot choose its time: each entry is later than the one before it, and none lies ahead.
  IF p_recorded_at IS NULL OR p_recorded_at <= v_head.recorded_at OR p_recorded_at > clock_timestamp() + interval '1 minute' THEN
    PERFORM fail('trail-broken', jsonb_build_object('in', 'recordedAt'));
  END IF;
  v_entry_hash := entry_hash(1, v_head.trail_sequence + 1, p_recorded_at, v_head.trail_hash, v_body_hash);
  INSERT INTO trail_entry (producer_id, sequence, version, recorded_at, previous_hash, body, body_hash, entry_hash)
    VALUES (p_producer, v_head.trail_sequence + 1, 1, p_recorded_at, v_head.trail_hash, p_body, v_body_hash, v_entry_hash);
  UPDATE producer_head
     SET trail_sequence = v_head.trail_sequence + 1, trail_hash = v_entry_hash, recorded_at = p_recorded_at,
         operation_sequence = v_head.operation_sequence + p_operations
   WHERE producer_id = p_producer;
  IF v_idem IS NOT NULL THEN
    INSERT INTO idempotency (producer_id, principal_id, route, key, body_hash, status, response, recorded_at)
      VALUES (p_producer, (p_guard ->> 'principal')::uuid, v_idem ->> 'route', v_idem ->> 'key',
              decode(v_idem ->> 'bodyHash', 'hex'), (v_idem ->> 'status')::int, v_idem ->> 'response', p_recorded_at);
  END IF;
END $$;
REVOKE ALL ON FUNCTION write_close(uuid, text, timestamptz, jsonb, int) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION write_close(uuid, text, timestamptz, jsonb, int) TO gaugebook_books;
