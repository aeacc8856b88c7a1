import pg from 'pg';

/** PostgreSQL's numbering of its oldest supported version: 15.0. */
const OLDEST_SERVER_VERSION = 150_000;

const CONNECT_TIMEOUT_MS = 5_000;

/** A database that cannot be used, in words for whoever runs the program. Never holds a password. */
export class DatabaseError extends Error {
  override readonly name = 'DatabaseError';
}

/** Host, port and database of a URL for messages, without role and password. */
function describeUrl(url: string): string {
  const { hostname, port, pathname, searchParams } = new URL(url);
  return `${hostname || searchParams.get('host') || 'localhost'}:${port || '5432'}${pathname}`;
}

/** The role that a URL logs in as. */
export function roleOf(url: string): string {
  return decodeURIComponent(new URL(url).username);
}

/**
 * Settings of every connection the program opens. The zone is pinned because the adapter stores a `timestamptz` hours off in a session
 * that is not in UTC.
 */
export function connectionConfig(url: string): pg.ClientConfig & { connectionString: string; options: string } {
  const parsed = new URL(url);
  // What stands in the URL would replace the option given beside it, so both go into one.
  const options = [parsed.searchParams.get('options'), '-c timezone=UTC'].filter((part) => part !== null).join(' ');
  parsed.searchParams.delete('options');
  return {
    connectionString: parsed.toString(),
    options,
    connectionTimeoutMillis: CONNECT_TIMEOUT_MS,
    application_name: 'gaugebook',
  };
}

/**
 * One connection, to be closed by the caller.
 * @throws DatabaseError saying what is wrong: nobody answers, wrong password, no such role or database.
 */
export async function connect(url: string): Promise<pg.Client> {
  const client = new pg.Client(connectionConfig(url));
  // Without a listener a connection that the server closes would end the program.
  client.on('error', () => undefined);
  try {
    await client.connect();
    return client;
  } catch (error) {
    await client.end().catch(() => undefined);
    throw new DatabaseError(describeFailure(url, error), { cause: error });
  }
}

/** Runs `work` with one connection and closes it. */
export async function withConnection<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = await connect(url);
  try {
    return await work(client);
  } finally {
    await client.end().catch(() => undefined);
  }
}

function describeFailure(url: string, error: unknown): string {
  const where = describeUrl(url);
  const code = errorCode(error);
  switch (code) {
    case 'ECONNREFUSED':
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
    case 'ENOENT':
    case 'EHOSTUNREACH':
    case 'ENETUNREACH':
    case 'ETIMEDOUT':
      return `No PostgreSQL answers at ${where} (${code}).`;
    case '28P01':
      return `PostgreSQL at ${where} refuses the password of role "${roleOf(url)}".`;
    case '28000':
      return `PostgreSQL at ${where} refuses the login of role "${roleOf(url)}": ${errorMessage(error)}.`;
    case '3D000':
      return `PostgreSQL at ${where} has no such database.`;
    case '53300':
      return `PostgreSQL at ${where} has no connection left.`;
    default:
      return `PostgreSQL at ${where} cannot be reached: ${errorMessage(error)}.`;
  }
}

/** The code of a PostgreSQL, socket or file error, if it has one. */
export function errorCode(error: unknown): string | undefined {
  return textOf(error, 'code');
}

export function errorMessage(error: unknown): string {
  return textOf(error, 'message') ?? String(error);
}

/** Not by `instanceof`: an error may come from another realm than this module. */
function textOf(error: unknown, property: string): string | undefined {
  if (typeof error !== 'object' || error === null) return undefined;
  const value: unknown = Reflect.get(error, property);
  return typeof value === 'string' ? value : undefined;
}

export interface ServerFacts {
  readonly version: number;
  readonly encoding: string;
  readonly zone: string;
}

/**
 * Refuses a server that the program was not made for.
 * @throws DatabaseError for a server older than PostgreSQL 15, an encoding other than UTF8 or a session that is not in UTC.
 */
export async function checkServer(client: pg.Client): Promise<void> {
  const { rows } = await client.query<ServerFacts>(
    `SELECT current_setting('server_version_num')::int AS version, current_setting('server_encoding') AS encoding,
            current_setting('TimeZone') AS zone`,
  );
  checkServerFacts(rows[0]);
}

/** @throws DatabaseError as {@link checkServer} does. */
export function checkServerFacts({ version, encoding, zone }: ServerFacts): void {
  if (version < OLDEST_SERVER_VERSION) {
    throw new DatabaseError(`PostgreSQL ${Math.floor(version / 10_000)} is too old: 15 or later is needed.`);
  }
  if (encoding !== 'UTF8') throw new DatabaseError(`The database's encoding is ${encoding}; UTF8 is needed.`);
  checkTimeZone(zone);
}

/** @throws DatabaseError for a session that is not in UTC. */
export function checkTimeZone(zone: string): void {
  if (zone === 'UTC') return;
  throw new DatabaseError(
    `The database session's time zone is ${zone}, not UTC, although it was asked for: a pooler in between may drop the option. ` +
      `ALTER ROLE … SET timezone = 'UTC' sets it for good.`,
  );
}
