/** Codes of Prisma for a database that was not reached, or not in time. */
const PRISMA_CODES = new Set(['P1001', 'P1002', 'P1008', 'P1011', 'P1017', 'P2024', 'P2028']);

/** SQLSTATE of a server that stops, starts, is full, or cancelled a statement; class 08 is the connection itself. */
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

/** Causes that are followed at the most. */
const DEEPEST = 8;

const fieldOf = (value: object, name: string): unknown => (value as Record<string, unknown>)[name];

const isUnavailableCode = (code: unknown): boolean =>
  typeof code === 'string' &&
  (PRISMA_CODES.has(code) || SQL_STATES.has(code) || NODE_CODES.has(code) || /^08[0-9A-Z]{3}$/.test(code));

/** The codes that an error carries: its own, that of the driver, and that of the database behind Prisma. */
function codesOf(error: object): unknown[] {
  const meta = fieldOf(error, 'meta');
  return [
    fieldOf(error, 'code'),
    fieldOf(error, 'originalCode'),
    typeof meta === 'object' && meta !== null ? fieldOf(meta, 'code') : undefined,
  ];
}

/** The errors that an error was made from. */
function causesOf(error: object): unknown[] {
  const meta = fieldOf(error, 'meta');
  const adapterError = typeof meta === 'object' && meta !== null ? fieldOf(meta, 'driverAdapterError') : undefined;
  return [adapterError, fieldOf(error, 'cause')];
}

/** True if an error, or one that caused it, says that the database was not reached or not in time: answered 503, to be sent again later. */
export function isUnavailable(error: unknown, depth = 0): boolean {
  if (typeof error !== 'object' || error === null || depth > DEEPEST) {
    return false;
  }
  const kind = fieldOf(error, 'kind');
  const message = fieldOf(error, 'message');
  return (
    codesOf(error).some(isUnavailableCode) ||
    (typeof kind === 'string' && ADAPTER_KINDS.has(kind)) ||
    (typeof message === 'string' && MESSAGES.some((pattern) => pattern.test(message))) ||
    causesOf(error).some((cause) => isUnavailable(cause, depth + 1))
  );
}
