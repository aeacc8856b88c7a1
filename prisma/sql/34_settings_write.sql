-- First and last statement of a transaction that writes plain records. A replay stops the transaction: the program then reads the kept answer.
CREATE OR REPLACE FUNCTION settings_open(p_producer uuid, p_recorded_at timestamptz, p_guard jsonb, p_attachments jsonb) RETURNS timestamptz
LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp AS $$
DECLARE
  v_open jsonb := write_open(p_producer, p_recorded_at, p_guard, p_attachments);
BEGIN
  IF v_open ? 'replay' THEN
    PERFORM fail('replay', v_open);
  END IF;
  PERFORM set_config('app.recorded_at', v_open ->> 'recordedAt', true);
  RETURN (v_open ->> 'recordedAt')::timestamptz;
END $$;

CREATE OR REPLACE FUNCTION settings_close(p_producer uuid, p_body text, p_guard jsonb) RETURNS void
LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  PERFORM take_producer(p_producer);
  PERFORM write_close(p_producer, p_body, current_setting('app.recorded_at')::timestamptz, p_guard, 0);
END $$;

-- A producer's first row of all: its head, before any key or setting.
CREATE OR REPLACE FUNCTION head_open(p_producer uuid, p_recorded_at timestamptz) RETURNS void
LANGUAGE plpgsql VOLATILE SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
  IF p_recorded_at > clock_timestamp() + interval '2 seconds' THEN
    PERFORM fail('clock-ahead');
  END IF;
  PERFORM set_config('app.producer', p_producer::text, true);
  INSERT INTO producer_head (producer_id, operation_sequence, trail_sequence, trail_hash, recorded_at)
    VALUES (p_producer, 0, 0, decode(repeat('00', 32), 'hex'), p_recorded_at - interval '1 millisecond');
END $$;

ALTER FUNCTION settings_open(uuid, timestamptz, jsonb, jsonb) OWNER TO gaugebook_books;
ALTER FUNCTION settings_close(uuid, text, jsonb) OWNER TO gaugebook_books;
ALTER FUNCTION head_open(uuid, timestamptz) OWNER TO gaugebook_books;
REVOKE ALL ON FUNCTION settings_open(uuid, timestamptz, jsonb, jsonb), settings_close(uuid, text, jsonb), head_open(uuid, timestamptz) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION settings_open(uuid, timestamptz, jsonb, jsonb), settings_close(uuid, text, jsonb), head_open(uuid, timestamptz) TO gaugebook_app;
