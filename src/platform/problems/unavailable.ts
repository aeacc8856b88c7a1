/** Codes by which Prisma says that it did not reach its database, or not in time. */
const PRISMA_CODES = new Set(['P1001', 'P1002', 'P1008', 'P1011', 'P1017', 'P2024', 'P2028']);

/** SQLSTATE of a server that stops, starts, has no room, or cut a statement off; class 08 is the connection itself. */
const SQL_STATES = new Set(['57P01', '57P02', '57P03', '57014', '53300', '53400', '55P03', '25P03', '25P04', '57P05']);

const NODE_CODES = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'EPIPE',
  'ETIMEDOUT',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
]);

const ADAPTER_KINDS = new Set(['SocketTimeout', 'DatabaseNotReachable', 'ConnectionClosed', 'TooManyConnections']);

const MESSAGES = [
  /timeout exceeded when trying to connect/i,
  /connection terminated/i,
  /connection ended unexpectedly/i,
  /client has encountered a connection error/i,
  /cannot use a pool after calling end/i,
];

/** A cause chain longer than this is not a chain. */
const DEEPEST = 8;

const fieldOf = (value: object, name: string): unknown => (value as Record<string, unknown>)[name];

const isUnavailableCode = (code: unknown): boolean =>
  typeof code === 'string' &&
  (PRISMA_CODES.has(code) || SQL_STATES.has(code) || NODE_CODES.has(code) || /^08[0-9A-Z]{3}$/.test(code));

/** Whether an error, or one that it stands for, says that the database was out of reach or out of time: 503, and the same again later. */
export function isUnavailable(error: unknown, depth = 0): boolean {
  if (typeof error !== 'object' || error === null || depth > DEEPEST) {
    return false;
  }
  const kind = fieldOf(error, 'kind');
  if (
    isUnavailableCode(fieldOf(error, 'code')) ||
    isUnavailableCode(fieldOf(error, 'originalCode')) ||
    (typeof kind === 'string' && ADAPTER_KINDS.has(kind))
  ) {
    return true;
  }
  const message = fieldOf(error, 'message');
  if (typeof message === 'string' && MESSAGES.some((pattern) => pattern.test(message))) {
    return true;
  }
  const meta = fieldOf(error, 'meta');
  const adapterError = typeof meta === 'object' && meta !== null ? fieldOf(meta, 'driverAdapterError') : undefined;
  const sqlState = typeof meta === 'object' && meta !== null ? fieldOf(meta, 'code') : undefined;
  return (
    isUnavailableCode(sqlState) ||
    isUnavailable(adapterError, depth + 1) ||
    isUnavailable(fieldOf(error, 'cause'), depth + 1)
  );
}
