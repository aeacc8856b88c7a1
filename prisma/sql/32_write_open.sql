-- Opens a write: takes the producer's head, the only lock there is, then looks the idempotency key up and checks what was read.
-- Answers {"replay": true, "status", "response"} when the same request was carried out before, else {"trail", "operation", "recordedAt"}.
CREATE OR REPLACE FUNCTION write_open(p_producer uuid, p_recorded_at timestamptz, p_guard jsonb, p_attachments jsonb) RETURNS jsonb
LANGUAGE plpgsql VOLATILE SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_head producer_head;
  v_seen idempotency;
  v_idem jsonb := p_guard -> 'idempotency';
  v_now timestamptz;
BEGIN
  PERFORM take_producer(p_producer);
  SELECT * INTO v_head FROM producer_head WHERE producer_id = p_producer FOR NO KEY UPDATE;
  IF NOT FOUND THEN
    PERFORM fail('not-found');
  END IF;
  IF p_recorded_at > clock_timestamp() + interval '2 seconds' THEN
    PERFORM fail('clock-ahead');
  END IF;
  -- Two writes of one millisecond still follow one another.
  v_now := greatest(p_recorded_at, v_head.recorded_at + interval '1 microsecond');

  IF v_idem IS NOT NULL THEN
    SELECT * INTO v_seen FROM idempotency
     WHERE producer_id = p_producer AND principal_id = (p_guard ->> 'principal')::uuid
       AND route = v_idem ->> 'route' AND key = v_idem ->> 'key';
    IF FOUND THEN
      IF v_seen.body_hash <> decode(v_idem ->> 'bodyHash', 'hex') THEN
        PERFORM fail('idempotency-key-reused');
      END IF;
      RETURN jsonb_build_object('replay', true, 'status', v_seen.status, 'response', v_seen.response);
    END IF;
  END IF;

  IF p_guard ? 'head' AND (p_guard ->> 'head')::bigint <> v_head.trail_sequence THEN
    PERFORM fail('stale');
  END IF;
  -- A write that is part of a chain is refused outside the transaction of its chain: a late statement of an abandoned chain must not be kept alone.
  IF p_guard ? 'chain' AND current_setting('app.chain', true) IS DISTINCT FROM p_guard ->> 'chain' THEN
    PERFORM fail('stale');
  END IF;
  PERFORM 1 FROM jsonb_to_recordset(coalesce(p_guard -> 'reads', '[]')) AS r (account uuid, version bigint)
    LEFT JOIN balance b ON b.producer_id = p_producer AND b.account_id = r.account
    WHERE coalesce(b.version, 0) <> r.version;
  IF FOUND THEN
    PERFORM fail('stale');
  END IF;

  INSERT INTO personal_text (producer_id, id, salt, hash, text, recorded_at)
    SELECT p_producer, x.id, decode(x.salt, 'hex'), sha256(decode(x.salt, 'hex') || convert_to(x.text, 'UTF8')), x.text, v_now
      FROM jsonb_to_recordset(coalesce(p_attachments -> 'personalText', '[]')) AS x (id uuid, salt text, text text);
  RETURN jsonb_build_object('trail', v_head.trail_sequence + 1, 'operation', v_head.operation_sequence, 'recordedAt', v_now);
END $$;
REVOKE ALL ON FUNCTION write_open(uuid, timestamptz, jsonb, jsonb) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION write_open(uuid, timestamptz, jsonb, jsonb) TO gaugebook_books;
