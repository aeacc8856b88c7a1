import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { SteppableClock } from '../../src/platform/clock.js';
import { connect, withConnection } from '../../src/platform/database/connection.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { TestDatabase } from '../support/database.js';
import { createTestDatabase } from '../support/database.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { problemOf } from '../support/problem.js';
import { OPERATOR_KEY, TestService } from '../support/service.js';

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
const person = (name: string) => ({ name });

describe('the database goes away', () => {
  let service: TestService;
  beforeAll(async () => {
    service = await TestService.start({ clock: new SteppableClock(APRIL_2), poolSize: 4 });
  });
  afterAll(() => service.stop());

  const endConnections = () =>
    withConnection(service.database.superuserUrl, (db) =>
      db.query(
        `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()`,
      ),
    );

  test('every connection ended, idle ones too: the next request is answered, or told to come again and then answered', async () => {
    const { key } = await service.newProducer();
    for (let round = 0; round < 5; round += 1) {
      await Promise.all(Array.from({ length: 4 }, () => service.call('get', '/v1/producer', { key })));
      await endConnections();
      const first = await service.call('get', '/v1/producer', { key });
      if (first.status !== 200) {
        expect(problemOf(first).code).toBe('service-unavailable');
        expect(first.headers['retry-after']).toBeDefined();
      }
      await pause(50);
      expect((await service.call('get', '/v1/producer', { key })).status).toBe(200);
    }
  });

  test('connections ended under load: what was acknowledged is there once, what was not is whole or absent', async () => {
    const { key, id } = await service.newProducer();
    const acknowledged = new Set<string>();
    let isOver = false;
    const writer = async (n: number): Promise<void> => {
      for (let turn = 0; !isOver; turn += 1) {
        const headers = { 'idempotency-key': `w${n}-${turn}` };
        const send = () => service.call('post', '/v1/people', { key, body: person(`p${n}-${turn}`), headers });
        let answer = await send();
        for (let tries = 0; answer.status !== 201 && tries < 20; tries += 1) {
          expect(problemOf(answer).code).toBe('service-unavailable');
          await pause(20);
          answer = await send();
        }
        expect(answer.status).toBe(201);
        expect(acknowledged.has(String(answer.body.id))).toBe(false);
        acknowledged.add(String(answer.body.id));
      }
    };
    const writers = [1, 2, 3].map(writer);
    for (let round = 0; round < 8; round += 1) {
      await pause(100);
      await endConnections();
    }
    isOver = true;
    await Promise.all(writers);
    const kept = await withConnection(service.database.superuserUrl, async (db) => {
      const { rows } = await db.query<{ id: string }>('SELECT id::text FROM person WHERE producer_id = $1', [id]);
      return rows.map((row) => row.id);
    });
    expect(kept.sort()).toEqual([...acknowledged].sort());
    await expectBooksHold(service, id, key);
  });
});

test('a pool of two with a lock in the way: nobody waits for ever, and afterwards all is well', async () => {
  const service = await TestService.start({ clock: new SteppableClock(APRIL_2), poolSize: 2 });
  try {
    const { floor } = await fullProducer(service);
    const { key, producerId } = floor;
    const holder = await connect(service.database.superuserUrl);
    await holder.query('BEGIN');
    await holder.query('SELECT 1 FROM producer_head WHERE producer_id = $1 FOR UPDATE', [producerId]);
    const started = Date.now();
    const waiting = Array.from({ length: 20 }, (_, n) =>
      service.call('post', '/v1/people', { key, body: person(`p${n}`) }).then((answer) => ({
        answer,
        afterMs: Date.now() - started,
      })),
    );
    await pause(6_500);
    const live = await service.call('get', '/health/live');
    expect(live.status).toBe(200);
    await holder.query('ROLLBACK');
    await holder.end();
    const answers = await Promise.all(waiting);
    for (const { answer, afterMs } of answers) {
      expect([201, 503]).toContain(answer.status);
      expect(afterMs).toBeLessThan(20_000);
      if (answer.status === 503) {
        expect(problemOf(answer).code).toBe('service-unavailable');
        expect(answer.headers['retry-after']).toBeDefined();
      }
    }
    expect(answers.some(({ answer }) => answer.status === 503)).toBe(true);
    expect((await service.call('post', '/v1/people', { key, body: person('after') })).status).toBe(201);
    await expectBooksHold(service, producerId, key);
  } finally {
    await service.stop();
  }
}, 120_000);

describe('the program is killed', () => {
  let database: TestDatabase;
  beforeAll(async () => {
    database = await createTestDatabase();
  });
  afterAll(() => database.drop());

  const MAIN = fileURLToPath(new URL('../../dist/main.js', import.meta.url));

  /** The program itself, on a port that the system chooses. */
  async function start(): Promise<{ child: ChildProcess; url: string }> {
    const child = spawn(process.execPath, [MAIN], {
      env: {
        PATH: process.env.PATH,
        PORT: '0',
        DATABASE_URL: database.appUrl,
        MIGRATION_DATABASE_URL: database.ownerUrl,
        OPERATOR_KEY,
      },
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let said = '';
    for await (const chunk of child.stdout) {
      said += String(chunk);
      const url = /ready after [\d.]+ s: (http:\S+)/.exec(said)?.[1];
      if (url !== undefined) {
        return { child, url };
      }
    }
    throw new Error(`The program did not start: ${said}`);
  }

  const post = async (url: string, path: string, key: string, body: unknown, idempotencyKey: string) => {
    const response = await fetch(`${url}${path}`, {
      method: 'POST',
      headers: {
        authorization: `Bearer ${key}`,
        'content-type': 'application/json',
        'idempotency-key': idempotencyKey,
      },
      body: JSON.stringify(body),
    });
    return { status: response.status, body: (await response.json()) as Record<string, unknown> };
  };

  test('with −9 in the midst of writing: every acknowledged write is there, a repeated one is there once, the trail holds', async () => {
    const acknowledged = new Map<string, string>();
    let key = '';
    let producerId = '';
    for (let round = 0; round < 3; round += 1) {
      const { child, url } = await start();
      const exited = once(child, 'exit');
      if (key === '') {
        const founded = await post(url, '/v1/producers', OPERATOR_KEY, person('Invented Drinks'), 'founding');
        key = String(founded.body.key);
        producerId = String((founded.body.producer as { id: string }).id);
      }
      // What was sent in the round before is sent again: replayed, not done twice.
      for (const [name, id] of [...acknowledged].slice(-5)) {
        const again = await post(url, '/v1/people', key, person(name), name);
        expect([again.status, again.body.id]).toEqual([201, id]);
      }
      let isDead = false;
      const writer = async (n: number): Promise<void> => {
        for (let turn = 0; !isDead; turn += 1) {
          const name = `r${round}-w${n}-${turn}`;
          try {
            const { status, body } = await post(url, '/v1/people', key, person(name), name);
            if (status === 201) {
              acknowledged.set(name, String(body.id));
            }
          } catch {
            return;
          }
        }
      };
      const writers = [1, 2, 3, 4].map(writer);
      const enough = acknowledged.size + 15 + 7 * round;
      for (let waits = 0; acknowledged.size < enough && waits < 1_000; waits += 1) {
        await pause(10);
      }
      child.kill('SIGKILL');
      await exited;
      isDead = true;
      await Promise.all(writers);
    }
    expect(acknowledged.size).toBeGreaterThan(20);
    await withConnection(database.superuserUrl, async (db) => {
      const people = await db.query<{ id: string }>('SELECT id::text FROM person WHERE producer_id = $1', [producerId]);
      const kept = new Set(people.rows.map(({ id }) => id));
      expect([...acknowledged.values()].filter((id) => !kept.has(id))).toEqual([]);
      const faults = await db.query(
        'SELECT place, problem FROM check_trail($1, 1) UNION ALL SELECT place, problem FROM check_balances($1)',
        [producerId],
      );
      expect(faults.rows).toEqual([]);
      const entries = await db.query<{ n: number }>(
        `SELECT count(*)::int AS n FROM trail_entry WHERE producer_id = $1 AND body LIKE '%"people.create"%'`,
        [producerId],
      );
      expect(entries.rows[0].n).toBe(kept.size);
    });
  }, 120_000);
});
