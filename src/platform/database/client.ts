import { PrismaPg } from '@prisma/adapter-pg';
import pg from 'pg';
import { PrismaClient } from '../../generated/prisma/client.js';
import { checkTimeZone, connectionConfig, DatabaseError } from './connection.js';

export interface ClientOptions {
  /** The service's login. */
  readonly url: string;
  readonly poolSize: number;
}

// A query without these waits for ever: for a free connection, for its own end, for a lock, for a transaction somebody left open.
const TIMEOUTS = {
  connectionTimeoutMillis: 5_000,
  statement_timeout: 30_000,
  lock_timeout: 10_000,
  idle_in_transaction_session_timeout: 30_000,
  idleTimeoutMillis: 30_000,
} as const;

/** The application's connections, and the Prisma client over the same ones. */
export class DatabaseClient extends PrismaClient {
  constructor(readonly pool: pg.Pool) {
    super({ adapter: new PrismaPg(pool) });
  }

  override async $disconnect(): Promise<void> {
    await super.$disconnect();
    if (!this.pool.ending) {
      await this.pool.end();
    }
  }
}

/** The application's handle on its database, with sessions in UTC and every wait limited. Connects at its first query. */
export function createPrismaClient({ url, poolSize }: ClientOptions): DatabaseClient {
  // Pipelined: statements that do not wait for one another's results are sent together.
  const pool = new pg.Pool({ ...connectionConfig(url), ...TIMEOUTS, max: poolSize, pipeline: true });
  // Without a listener a connection that the server closes would end the program.
  pool.on('error', () => undefined);
  pool.on('connect', (client) => client.on('error', () => undefined));
  return new DatabaseClient(pool);
}

interface Session {
  readonly role: string;
  readonly zone: string;
  readonly superuser: boolean;
  readonly bypassesRowSecurity: boolean;
  readonly ownsTables: boolean;
  readonly ownsFunctions: boolean;
}

/**
 * Refuses a session in which the books would not be safe.
 * @throws DatabaseError for a session that is not in UTC, or whose role is a superuser, bypasses row security, or owns the tables or the functions
 * or may act as the role that does.
 */
export async function checkSession(client: PrismaClient): Promise<void> {
  const [session] = await client.$queryRaw<Session[]>`
    SELECT current_user::text AS "role",
           current_setting('TimeZone') AS "zone",
           rolsuper AS "superuser",
           rolbypassrls AS "bypassesRowSecurity",
           EXISTS (SELECT FROM pg_class
                   WHERE relnamespace = 'public'::regnamespace AND pg_has_role(current_user, relowner, 'MEMBER')) AS "ownsTables",
           EXISTS (SELECT FROM pg_proc
                   WHERE pronamespace = 'public'::regnamespace AND pg_has_role(current_user, proowner, 'MEMBER')) AS "ownsFunctions"
    FROM pg_roles WHERE rolname = current_user`;
  checkTimeZone(session.zone);
  const wrongs = [
    session.superuser && 'is a superuser',
    session.bypassesRowSecurity && 'bypasses row security',
    session.ownsTables && 'owns tables, or may act as their owner',
    session.ownsFunctions && 'owns functions, or may act as their owner',
  ].filter((wrong) => wrong !== false);
  if (wrongs.length === 0) return;
  throw new DatabaseError(
    `The application must not use its database as role "${session.role}", which ${wrongs.join(', ')}.`,
  );
}
