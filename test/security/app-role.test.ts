import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { SteppableClock } from '../../src/platform/clock.js';
import { connectionConfig, withConnection } from '../../src/platform/database/connection.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { TestService } from '../support/service.js';

let service: TestService;
let own: FullProducer;
let other: FullProducer;
let app: pg.Client;
let tables: { name: string; key: string }[];
let otherRows: Record<string, string>;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  own = await fullProducer(service);
  other = await fullProducer(service);
  app = new pg.Client(connectionConfig(service.database.appUrl));
  await app.connect();
  tables = await withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<{ name: string }>(
      `SELECT relname::text AS name FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND relrowsecurity ORDER BY 1`,
    );
    return rows.map(({ name }) => ({ name, key: name === 'producer' ? 'id' : 'producer_id' }));
  });
  otherRows = await contentsOf(other.floor.producerId);
});
afterAll(async () => {
  await app.end();
  await service.stop();
});

/** Every row of a producer, a hash a table, as the superuser sees it. */
const contentsOf = (producer: string): Promise<Record<string, string>> =>
  withConnection(service.database.superuserUrl, async (db) => {
    const contents: Record<string, string> = {};
    for (const { name, key } of tables) {
      const { rows } = await db.query<{ hash: string }>(
        `SELECT count(*) || ' ' || coalesce(md5(string_agg(md5(t::text), '' ORDER BY md5(t::text))), '') AS hash FROM "${name}" t WHERE ${key} = $1`,
        [producer],
      );
      contents[name] = rows[0].hash;
    }
    return contents;
  });

/** The application's session within one transaction that sees one producer; undone at the end. */
async function as<T>(producer: string | undefined, work: () => Promise<T>): Promise<T> {
  await app.query('BEGIN');
  try {
    if (producer !== undefined) {
      await app.query(`SELECT set_config('app.producer', $1, true)`, [producer]);
    }
    return await work();
  } finally {
    await app.query('ROLLBACK');
  }
}

/** The SQLSTATE with which a statement is refused; a failure of the test when it is not. */
async function refusal(sql: string, ...values: unknown[]): Promise<string> {
  await app.query('SAVEPOINT s');
  try {
    const { rowCount } = await app.query(sql, values);
    return `allowed: ${rowCount} rows`;
  } catch (error) {
    return String((error as { code?: unknown }).code);
  } finally {
    await app.query('ROLLBACK TO s');
  }
}

const DENIED = '42501';

/** Plain records, the only tables that the application writes itself. */
const SETTINGS = [
  ...['api_key', 'calibration', 'instrument', 'lot', 'material', 'person', 'premises', 'producer', 'recipe'],
  ...['recipe_version', 'vessel'],
];

describe('another producer’s rows', () => {
  test('are not there without a producer, with an empty one, or with one that is not a producer', async () => {
    for (const setting of [undefined, '', randomUUID()]) {
      await as(setting, async () => {
        for (const { name } of tables) {
          const { rows } = await app.query<{ n: string }>(`SELECT count(*) AS n FROM "${name}"`);
          expect([name, rows[0].n]).toEqual([name, '0']);
        }
      });
    }
  });

  test('are not there for a producer of one’s own, by no condition', async () => {
    await as(own.floor.producerId, async () => {
      let seen = 0;
      for (const { name, key } of tables) {
        const { rows } = await app.query<{ own: string; theirs: string }>(
          `SELECT count(*) FILTER (WHERE ${key} = $1) AS own, count(*) FILTER (WHERE ${key} <> $1) AS theirs FROM "${name}"`,
          [own.floor.producerId],
        );
        expect([name, rows[0].theirs]).toEqual([name, '0']);
        seen += Number(rows[0].own);
      }
      expect(seen).toBeGreaterThan(60);
      const { rows } = await app.query(`SELECT 1 FROM posting WHERE producer_id = $1`, [other.floor.producerId]);
      expect(rows).toEqual([]);
    });
  });

  test('cannot be changed, given away or taken', async () => {
    const mine = own.floor.producerId;
    const theirs = other.floor.producerId;
    await as(mine, async () => {
      for (const table of ['premises', 'vessel', 'lot', 'api_key', 'material', 'recipe', 'person', 'instrument']) {
        const { rowCount } = await app.query(`UPDATE ${table} SET id = id WHERE producer_id = $1`, [theirs]);
        expect([table, rowCount]).toEqual([table, 0]);
        expect(await refusal(`UPDATE ${table} SET producer_id = $1`, theirs)).toBe(DENIED);
        const copy = `INSERT INTO ${table} SELECT (jsonb_populate_record(t, jsonb_build_object('producer_id', $1::text, 'id', gen_random_uuid()))).* FROM ${table} t`;
        expect(await refusal(copy, theirs)).toBe(DENIED);
      }
      expect(await refusal(`UPDATE producer SET name = 'mine' WHERE id = $1`, theirs)).toBe('allowed: 0 rows');
    });
    expect(await contentsOf(theirs)).toEqual(otherRows);
  });

  test('cannot be pointed at: a reference to them is one to nothing', async () => {
    const { ids } = other;
    await as(own.floor.producerId, async () => {
      const lot = `INSERT INTO lot (producer_id, id, code, premises_id, category, created_at) VALUES ($1, gen_random_uuid(), 'X', $2, 'x', now())`;
      expect(await refusal(lot, own.floor.producerId, ids.premises)).toBe('23503');
      const vessel = `UPDATE vessel SET premises_id = $1`;
      expect(await refusal(vessel, ids.premises)).toBe('23503');
    });
  });

  test('are not told by a unique key: the same code in two producers is no conflict', async () => {
    await as(own.floor.producerId, async () => {
      const { rows } = await app.query<{ code: string }>(`SELECT code FROM lot`);
      expect(rows.map(({ code }) => code)).toContain('LOT-001');
    });
  });

  test('a statement that forgot its producer can store nothing', async () => {
    await as(undefined, async () => {
      expect(
        await refusal(
          `INSERT INTO premises (producer_id, id, name, time_zone, approvals, created_at) VALUES ($1, gen_random_uuid(), 'x', 'UTC', '[]', now())`,
          own.floor.producerId,
        ),
      ).toBe(DENIED);
    });
  });
});

describe('ways round', () => {
  test.each([
    ['SET ROLE gaugebook_books', DENIED],
    ['SET ROLE gaugebook_test_owner', DENIED],
    ['SET SESSION AUTHORIZATION gaugebook_test_owner', DENIED],
    ['TRUNCATE posting', DENIED],
    ['TRUNCATE vessel CASCADE', DENIED],
    ['DELETE FROM vessel', DENIED],
    ['LOCK TABLE producer_head IN ACCESS EXCLUSIVE MODE', DENIED],
    [`COPY posting TO PROGRAM 'cat'`, DENIED],
    [`COPY posting TO '/tmp/x'`, DENIED],
    [`COPY lot FROM '/etc/passwd'`, DENIED],
    [`SELECT pg_read_file('/etc/passwd')`, DENIED],
    [`SELECT lo_import('/etc/passwd')`, DENIED],
    [`SELECT pg_ls_dir('.')`, DENIED],
    ['ALTER TABLE posting DISABLE ROW LEVEL SECURITY', DENIED],
    ['ALTER TABLE posting DISABLE TRIGGER refuse_update', DENIED],
    ['DROP POLICY own_producer ON posting', DENIED],
    ['CREATE POLICY mine ON posting USING (true)', DENIED],
    ['CREATE TABLE public.mine (x int)', DENIED],
    ['CREATE VIEW public.mine AS SELECT 1', DENIED],
    [`CREATE FUNCTION public.mine() RETURNS int LANGUAGE sql AS 'SELECT 1'`, DENIED],
    ['ALTER FUNCTION post(uuid, text, timestamptz, jsonb, jsonb) RESET ALL', DENIED],
    ['GRANT gaugebook_books TO gaugebook_app', DENIED],
    [`ALTER ROLE gaugebook_test_service BYPASSRLS`, DENIED],
    [`SET session_replication_role = replica`, DENIED],
    ['CREATE EXTENSION dblink', DENIED],
    ['SELECT rolpassword FROM pg_authid', DENIED],
  ])('%s is refused', async (sql, code) => {
    await as(own.floor.producerId, async () => expect(await refusal(sql)).toBe(code));
  });

  test('the superuser’s role is out of reach', async () => {
    const superuser = decodeURIComponent(new URL(service.database.superuserUrl).username);
    await as(own.floor.producerId, async () => expect(await refusal(`SET ROLE "${superuser}"`)).toBe(DENIED));
  });

  test('with row security off a query is refused instead of cut down', async () => {
    await as(own.floor.producerId, async () => {
      await app.query('SET LOCAL row_security = off');
      expect(await refusal('SELECT * FROM posting')).toBe(DENIED);
      expect(await refusal('SELECT * FROM api_key')).toBe(DENIED);
    });
  });

  test('a table of one’s own in the temporary schema stands in for none of the books’', async () => {
    await as(own.floor.producerId, async () => {
      await app.query(`CREATE TEMP TABLE producer_head AS SELECT * FROM public.producer_head`);
      await app.query(`UPDATE pg_temp.producer_head SET trail_sequence = 0`);
      const post = `SELECT post($1, '{"version":1}', now(), '{"principal":"${randomUUID()}"}', '{}')`;
      const { rows } = await app.query<{ post: { trail: number } }>(post, [own.floor.producerId]);
      expect(rows[0].post.trail).toBeGreaterThan(1);
    });
  });
});

describe('the books', () => {
  test('no row is put in, changed, deleted or emptied but through the functions', async () => {
    const books = tables.map(({ name }) => name).filter((name) => !SETTINGS.includes(name));
    expect(books.length).toBeGreaterThan(19);
    await as(own.floor.producerId, async () => {
      for (const table of books) {
        for (const sql of [
          `INSERT INTO ${table} SELECT * FROM ${table}`,
          `UPDATE ${table} SET producer_id = producer_id`,
          `DELETE FROM ${table}`,
          `TRUNCATE ${table}`,
          `MERGE INTO ${table} t USING (SELECT 1) s ON false WHEN NOT MATCHED THEN INSERT DEFAULT VALUES`,
          `SELECT * FROM ${table} FOR UPDATE`,
        ]) {
          expect([sql, await refusal(sql)]).toEqual([sql, DENIED]);
        }
      }
    });
  });

  test('the functions inside cannot be called from outside', async () => {
    const mine = own.floor.producerId;
    await as(mine, async () => {
      for (const call of [
        `write_open($1, now(), '{}', '{}')`,
        `write_close($1, '{}', now(), '{}', 0)`,
        `check_period($1, $1, now())`,
        `fail('not-found', '{}')`,
        `make_tenant_table('posting', 'settings')`,
      ]) {
        expect([call, await refusal(`SELECT ${call.replaceAll('$1', `'${mine}'::uuid`)}`)]).toEqual([call, DENIED]);
      }
    });
  });

  const close = (at: string) =>
    `SELECT set_config('app.recorded_at', '${at}', true), settings_close($1, '{"version":1}', '{}')`;

  test('a write cannot be closed at a time of one’s own: not before the last entry, not ahead of the clock', async () => {
    await as(own.floor.producerId, async () => {
      expect(await refusal(`SELECT settings_close($1, '{"version":1}', '{}')`, own.floor.producerId)).not.toMatch(
        /^allowed/,
      );
      expect(await refusal(close('2020-01-01T00:00:00Z'), own.floor.producerId)).toBe('GB001');
      expect(await refusal(close('2099-01-01T00:00:00Z'), own.floor.producerId)).toBe('GB001');
    });
  });

  test('nothing is recorded ahead of the database’s clock', async () => {
    await as(own.floor.producerId, async () => {
      const ahead = `clock_timestamp() + interval '1 minute'`;
      expect(await refusal(`SELECT post($1, '{}', ${ahead}, '{}', '{}')`, own.floor.producerId)).toBe('GB001');
      expect(await refusal(`SELECT settings_open($1, ${ahead}, '{}', '{}')`, own.floor.producerId)).toBe('GB001');
    });
    await as(randomUUID(), async () => {
      expect(await refusal(`SELECT head_open($1, now() + interval '1 minute')`, randomUUID())).toBe('GB001');
    });
  });

  const operation = (change: object, postings: object[]) =>
    JSON.stringify({
      operations: [
        {
          id: randomUUID(),
          kind: 'sample',
          timing: 'draw',
          premises_id: own.floor.premisesId,
          occurred_at: '2026-04-01T12:00:00Z',
          document: {},
          ...change,
          postings,
        },
      ],
    });

  async function postRefusal(body: string): Promise<string> {
    await app.query('SAVEPOINT s');
    try {
      await app.query(`SELECT post($1, $2, now(), $3, '{}')`, [
        own.floor.producerId,
        body,
        { principal: randomUUID() },
      ]);
      return 'allowed';
    } catch (error) {
      return (
        /"code": "([a-z-]+)"/.exec(String((error as Error).message))?.[1] ?? String((error as { code?: unknown }).code)
      );
    } finally {
      await app.query('ROLLBACK TO s');
    }
  }

  test('what does not balance, goes below zero, has no account or no period is refused by the function itself', async () => {
    await as(own.floor.producerId, async () => {
      const { rows } = await app.query<{ id: string; kind: string }>(
        `SELECT a.id, a.kind FROM account a JOIN balance b ON b.account_id = a.id WHERE a.kind IN ('packaged', 'process-loss') ORDER BY a.kind`,
      );
      const [packaged, loss] = rows.map(({ id }) => id);
      const line = (n: number, account: string, litres: string, more: object = {}) => ({
        line: n,
        account_id: account,
        litres,
        lpa_fermented: '0',
        lpa_added: '0',
        ...more,
      });
      const pair = (litres: string, more: object = {}) => [
        line(1, packaged, `-${litres}`),
        line(2, loss, litres, more),
      ];
      expect(await postRefusal(operation({}, [line(1, packaged, '-1'), line(2, loss, '0.999999')]))).toBe(
        'operation-unbalanced',
      );
      expect(await postRefusal(operation({}, pair('1', { lpa_added: '0.000001' })))).toBe('operation-unbalanced');
      expect(await postRefusal(operation({}, pair('1', { components: [['x', '0.1', '0']] })))).toBe(
        'operation-unbalanced',
      );
      expect(await postRefusal(operation({}, pair('1000')))).toBe('insufficient-stock');
      // All its litres and none of its alcohol: what is left would be alcohol without liquid.
      expect(await postRefusal(operation({}, pair('99')))).toBe('insufficient-stock');
      expect(await postRefusal(operation({ occurred_at: '2026-06-01T12:00:00Z' }, pair('1')))).toBe('period-not-open');
      expect(await postRefusal(operation({ occurred_at: '2099-06-01T12:00:00Z' }, pair('1')))).toBe('time-ahead');
      expect(await postRefusal(operation({ occurred_at: null }, pair('1')))).not.toBe('allowed');
      expect(await postRefusal(operation({ timing: 'anything' }, pair('1')))).toBe('23514');
      expect(await postRefusal(operation({ premises_id: other.floor.premisesId }, pair('1')))).toBe('period-not-open');
      expect(await postRefusal(operation({ lot_id: other.ids.lots }, pair('1')))).toBe('23503');
      expect(await postRefusal(operation({}, pair('1.0000001')))).toBe('23514');
      expect(await postRefusal(operation({}, [line(1, packaged, 'NaN'), line(2, loss, 'NaN')]))).toBe('23514');
      expect(await postRefusal(operation({}, [line(1, randomUUID(), '1'), line(2, loss, '-1')]))).toBe('23503');
      const theirs = await withConnection(service.database.superuserUrl, (db) =>
        db.query<{ id: string }>(`SELECT id FROM account WHERE producer_id = $1 AND kind = 'packaged'`, [
          other.floor.producerId,
        ]),
      );
      expect(await postRefusal(operation({}, [line(1, theirs.rows[0].id, '-1'), line(2, loss, '1')]))).toBe('23503');
      expect(
        await postRefusal(
          operation({ producer_id: other.floor.producerId }, pair('0.1', { producer_id: other.floor.producerId })),
        ),
      ).toBe('allowed');
    });
    expect(await contentsOf(other.floor.producerId)).toEqual(otherRows);
  });
});

describe('the owner', () => {
  const asOwner = (work: (db: pg.Client) => Promise<void>) => withConnection(service.database.ownerUrl, work);

  test('meets the triggers, and row security', async () => {
    await asOwner(async (db) => {
      await db.query(`SELECT set_config('app.producer', $1, false)`, [own.floor.producerId]);
      for (const sql of [
        'UPDATE posting SET litres = 0',
        'UPDATE finding SET strength_percent = 0',
        'UPDATE reading SET value = 1',
        'UPDATE trail_entry SET body = body',
        'UPDATE operation SET kind = kind',
        'DELETE FROM posting',
        'DELETE FROM trail_entry',
        'DELETE FROM balance',
        'DELETE FROM lot',
        'TRUNCATE posting CASCADE',
        'TRUNCATE report',
        'TRUNCATE vessel CASCADE',
      ]) {
        const code = await db.query(sql).then(
          () => 'allowed',
          (error: { code?: string }) => error.code,
        );
        // Without rights of its own on a table it comes no further than that.
        expect([sql, code]).toEqual([sql, expect.stringMatching(/^(GB002|42501)$/)]);
      }
      const { rows } = await db.query(`SELECT 1 FROM posting WHERE producer_id = $1`, [other.floor.producerId]);
      expect(rows).toEqual([]);
    });
  });
});
