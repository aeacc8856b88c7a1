import type pg from 'pg';
import { DatabaseError, errorCode, errorMessage } from './connection.js';

/** Owns the functions that write the books; nobody logs in as it. */
export const BOOKS_ROLE = 'gaugebook_books';
/** Carries the application's rights; the service's login is a member. */
export const APP_ROLE = 'gaugebook_app';

const ATTEMPTS = 5;
// Another database of the same server may be migrated at the same moment, and roles belong to the server.
const RACES = new Set(['23505', '42710', 'XX000', '40001']);

/**
 * Makes the two group roles where they are missing, and the memberships that migrations and the service need. What is there already needs
 * no right to make it, so an administrator may prepare the roles instead.
 *
 * @throws DatabaseError when the service's login does not exist, or the owner may not make what is missing: with the SQL to run.
 */
export async function ensureRoles(client: pg.Client, serviceUser: string): Promise<void> {
  const { rowCount } = await client.query('SELECT FROM pg_roles WHERE rolname = $1 AND rolcanlogin', [serviceUser]);
  if (rowCount === 0) throw new DatabaseError(`The service's role "${serviceUser}" does not exist or cannot log in.`);
  const owner = (await client.query<{ name: string }>('SELECT current_user AS name')).rows[0].name;
  await ensure(client, `CREATE ROLE ${BOOKS_ROLE} NOLOGIN`, () => exists(client, BOOKS_ROLE));
  await ensure(client, `CREATE ROLE ${APP_ROLE} NOLOGIN`, () => exists(client, APP_ROLE));
  await ensure(client, grant(client, BOOKS_ROLE, owner), () => isMember(client, owner, BOOKS_ROLE));
  await ensure(client, grant(client, APP_ROLE, serviceUser), () => isMember(client, serviceUser, APP_ROLE));
}

const grant = (client: pg.Client, group: string, member: string): string =>
  `GRANT ${group} TO ${client.escapeIdentifier(member)}`;

async function exists(client: pg.Client, role: string): Promise<boolean> {
  return (await client.query('SELECT FROM pg_roles WHERE rolname = $1', [role])).rowCount === 1;
}

/** Inherits the group's rights: the owner may then replace the functions that the group owns. */
async function isMember(client: pg.Client, member: string, group: string): Promise<boolean> {
  const { rows } = await client.query<{ member: boolean }>(`SELECT pg_has_role($1, $2, 'USAGE') AS member`, [
    member,
    group,
  ]);
  return rows[0].member;
}

async function ensure(client: pg.Client, statement: string, done: () => Promise<boolean>): Promise<void> {
  for (let attempt = 1; !(await done()); attempt += 1) {
    try {
      await client.query(statement);
    } catch (error) {
      if (attempt < ATTEMPTS && RACES.has(errorCode(error) ?? '')) continue;
      throw new DatabaseError(
        `The owner's role cannot do it, so an administrator has to: ${statement}; (${errorMessage(error)})`,
        {
          cause: error,
        },
      );
    }
  }
}
