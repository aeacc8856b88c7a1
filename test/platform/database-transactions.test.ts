import { Pool } from 'pg';
import { connectionConfig } from '../../src/platform/database/connection.js';
import { inTransaction, outsideTransaction } from '../../src/platform/database/transactions.js';
import type { Tx } from '../../src/platform/database/tx.js';
import type { TestDatabase } from '../support/database.js';
import { createTestDatabase } from '../support/database.js';

const PRODUCER = '01900000-0000-7000-8000-000000000001';

let database: TestDatabase;
let pool: Pool;
beforeAll(async () => {
  database = await createTestDatabase();
  pool = new Pool({ ...connectionConfig(database.appUrl), max: 1, pipeline: true });
});
afterAll(async () => {
  await pool.end();
  await database.drop();
});

const producerOf = async (tx: Tx): Promise<string | null> => {
  const rows = await tx.$queryRaw<{ set: string | null }[]>`SELECT current_setting('app.producer', true) AS set`;
  return rows[0].set;
};

test('the producer is set for the transaction and not after it, on the same connection', async () => {
  expect(await inTransaction(pool, 'read', PRODUCER, producerOf)).toBe(PRODUCER);
  expect((await outsideTransaction(pool, producerOf)) ?? '').toBe('');
});

test('a statement that comes after the end is refused: it must not reach the next transaction of the connection', async () => {
  const ended = await inTransaction(pool, 'read', PRODUCER, async (tx) => {
    await producerOf(tx);
    return tx;
  });
  await expect(ended.$queryRaw`SELECT 1`).rejects.toThrow('The transaction has ended.');
});

test('one of two statements that fails ends the transaction, and what the other still sends is refused', async () => {
  let resume = (): void => undefined;
  const gate = new Promise<void>((resolve) => (resume = resolve));
  let slow: Promise<unknown> | undefined;
  const both = inTransaction(pool, 'read', PRODUCER, (tx) => {
    slow = gate.then(() => tx.$queryRaw`SELECT 1`);
    return Promise.all([tx.$queryRaw`SELECT 1 / 0`, slow]);
  });
  await expect(both).rejects.toMatchObject({ code: '22012' });
  resume();
  await expect(slow).rejects.toThrow('The transaction has ended.');
  expect((await outsideTransaction(pool, producerOf)) ?? '').toBe('');
});

test('a write in which a failure was overlooked is no success', async () => {
  const write = inTransaction(pool, 'write', PRODUCER, (tx) => tx.$queryRaw`SELECT 1 / 0`.catch(() => 'overlooked'));
  await expect(write).rejects.toThrow('The transaction ended with ROLLBACK.');
});

test('columns are read and sent as the program has them', async () => {
  const day = new Date('2026-03-01T00:00:00.000Z');
  const [row] = await outsideTransaction(
    pool,
    (tx) => tx.$queryRaw<Record<string, unknown>[]>`
      SELECT 9007199254740993::bigint AS big, ARRAY[1, 2]::bigint[] AS bigs, 0.100000::numeric AS decimal, ${day}::date AS day,
             ${day}::timestamptz AS at, '{"a": [1]}'::jsonb AS json, decode('00ff', 'hex') AS bytes, ${[day]}::timestamptz[] = ARRAY[${day}::timestamptz] AS same`,
  );
  expect(row).toMatchObject({ big: 9007199254740993n, bigs: [1n, 2n], day, at: day, json: { a: [1] }, same: true });
  expect(String(row.decimal)).toBe('0.1');
  expect(Buffer.from(row.bytes as Uint8Array).toString('hex')).toBe('00ff');
});
