import type { IncomingHttpHeaders } from 'node:http';
import { uuidv7 } from 'uuidv7';

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;

/** The id of a request: the caller's own X-Request-Id if it is a UUID, else a new one; nothing else of the caller is echoed. */
export function requestIdOf(request: { headers: IncomingHttpHeaders }): string {
  const given = request.headers['x-request-id'];
  return typeof given === 'string' && UUID.test(given) ? given.toLowerCase() : uuidv7();
}
