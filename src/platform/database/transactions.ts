import type pg from 'pg';
import { Tx } from './tx.js';

/** The longest time for all statements of one transaction together. */
const LONGEST_MS = 15_000;

const BEGIN = {
  /** All statements see the same moment. */
  read: 'BEGIN ISOLATION LEVEL REPEATABLE READ',
  /** Each statement sees what is stored when it begins: the first one waits for a lock. */
  write: 'BEGIN ISOLATION LEVEL READ COMMITTED',
} as const;

/** A transaction that took too long, with PostgreSQL's own code for it: answered 503. */
class TooLong extends Error {
  readonly code = '25P04';
  constructor() {
    super(`The transaction took longer than ${LONGEST_MS / 1000} s.`);
  }
}

/** One transaction that sees one producer. It is stored as a whole, or not at all where `work` fails. */
export async function inTransaction<R>(
  pool: pg.Pool,
  kind: keyof typeof BEGIN,
  producerId: string,
  work: (tx: Tx) => Promise<R>,
): Promise<R> {
  const client = await pool.connect();
  const tx = new Tx(client);
  let overdue: NodeJS.Timeout | undefined;
  try {
    const tooLong = new Promise<never>((_, reject) => {
      overdue = setTimeout(() => reject(new TooLong()), LONGEST_MS);
    });
    // Not awaited: it is sent together with the first statement, which fails too where this one fails.
    const begun = tx.send(`${BEGIN[kind]}; SET LOCAL app.producer = ${client.escapeLiteral(producerId)}`);
    const [result] = await Promise.race([Promise.all([work(tx), begun]), tooLong]);
    const ended = tx.send('COMMIT');
    tx.close();
    if (kind === 'write') {
      requireCommitted(await ended);
    } else {
      // Nothing rests on it, so the connection is handed on at once; its next statement is answered after this one.
      ended.catch(() => undefined);
    }
    client.release();
    return result;
  } catch (error) {
    rollBack(client, tx, error);
    throw error;
  } finally {
    clearTimeout(overdue);
  }
}

/** Statements that are a transaction each, on one connection. */
export async function outsideTransaction<R>(pool: pg.Pool, work: (tx: Tx) => Promise<R>): Promise<R> {
  const client = await pool.connect();
  const tx = new Tx(client);
  try {
    const result = await work(tx);
    tx.close();
    client.release();
    return result;
  } catch (error) {
    tx.close();
    // After an error of the statement the session goes on; after any other one it is not known in which state it is.
    client.release((error as { severity?: unknown }).severity === 'ERROR' ? undefined : (error as Error));
    throw error;
  }
}

/** A transaction in which a statement failed ends with COMMIT as if with ROLLBACK, and without an error. */
function requireCommitted({ command }: pg.QueryResult): void {
  if (command !== 'COMMIT') {
    throw new Error(`The transaction ended with ${command}.`);
  }
}

/** Undoes what was done, in the background. The connection is used again only where that succeeded. */
function rollBack(client: pg.PoolClient, tx: Tx, error: unknown): void {
  if (tx.closed || error instanceof TooLong) {
    tx.close();
    client.release(error as Error);
    return;
  }
  const ended = tx.send('ROLLBACK');
  tx.close();
  ended.then(
    () => client.release(),
    (failure: Error) => client.release(failure),
  );
}
