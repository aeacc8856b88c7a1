import type pg from 'pg';

/** Counts what is sent to the database while something runs. */
export async function queriesOf(work: () => Promise<unknown>): Promise<number> {
  // The driver that the program uses, not the one of Jest's registry.
  const { Client } = ((await loadOnce('pg')) as { default: typeof pg }).default;
  const { query } = Client.prototype;
  let count = 0;
  Client.prototype.query = function counted(this: pg.Client, ...args: unknown[]): unknown {
    count += 1;
    return Reflect.apply(query, this, args);
  } as typeof query;
  try {
    await work();
  } finally {
    Client.prototype.query = query;
  }
  return count;
}
