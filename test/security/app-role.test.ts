import { randomUUID } from 'node:crypto';
import type pg from 'pg';
import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import { AppSession, DENIED } from '../support/app-session.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { TestService } from '../support/service.js';
import { SETTINGS } from '../support/tables.js';

let service: TestService;
let own: FullProducer;
let other: FullProducer;
let app: AppSession;
let tables: { name: string; key: string }[];
let otherRows: Record<string, string>;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  own = await fullProducer(service);
  other = await fullProducer(service);
  app = await AppSession.open(service.database.appUrl);
  tables = await withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<{ name: string }>(
      `SELECT relname::text AS name FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND relrowsecurity ORDER BY 1`,
    );
    return rows.map(({ name }) => ({ name, key: name === 'producer' ? 'id' : 'producer_id' }));
  });
  otherRows = await contentsOf(other.floor.producerId);
});
afterAll(async () => {
  await app.close();
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

describe('another producer’s rows', () => {
  test('are not there without a producer, with an empty one, or with one that is not a producer', async () => {
    for (const setting of [undefined, '', randomUUID()]) {
      await app.as(setting, async () => {
        for (const { name } of tables) {
          const { rows } = await app.client.query<{ n: string }>(`SELECT count(*) AS n FROM "${name}"`);
          expect([name, rows[0].n]).toEqual([name, '0']);
        }
      });
    }
  });

  test('are not there for a producer of one’s own, by no condition', async () => {
    await app.as(own.floor.producerId, async () => {
      let seen = 0;
      for (const { name, key } of tables) {
        const { rows } = await app.client.query<{ own: string; theirs: string }>(
          `SELECT count(*) FILTER (WHERE ${key} = $1) AS own, count(*) FILTER (WHERE ${key} <> $1) AS theirs FROM "${name}"`,
          [own.floor.producerId],
        );
        expect([name, rows[0].theirs]).toEqual([name, '0']);
        seen += Number(rows[0].own);
      }
      expect(seen).toBeGreaterThan(60);
      const { rows } = await app.client.query(`SELECT 1 FROM posting WHERE producer_id = $1`, [other.floor.producerId]);
      expect(rows).toEqual([]);
    });
  });

  test('cannot be changed, given away or taken', async () => {
    const mine = own.floor.producerId;
    const theirs = other.floor.producerId;
    await app.as(mine, async () => {
      for (const table of ['premises', 'vessel', 'lot', 'api_key', 'material', 'recipe', 'person', 'instrument']) {
        const { rowCount } = await app.client.query(`UPDATE ${table} SET id = id WHERE producer_id = $1`, [theirs]);
        expect([table, rowCount]).toEqual([table, 0]);
        expect(await app.refusal(`UPDATE ${table} SET producer_id = $1`, theirs)).toBe(DENIED);
        const copy = `INSERT INTO ${table} SELECT (jsonb_populate_record(t, jsonb_build_object('producer_id', $1::text, 'id', gen_random_uuid()))).* FROM ${table} t`;
        expect(await app.refusal(copy, theirs)).toBe(DENIED);
      }
      expect(await app.refusal(`UPDATE producer SET name = 'mine' WHERE id = $1`, theirs)).toBe('allowed: 0 rows');
    });
    expect(await contentsOf(theirs)).toEqual(otherRows);
  });

  test('cannot be pointed at: a reference to them is one to nothing', async () => {
    const { ids } = other;
    await app.as(own.floor.producerId, async () => {
      const lot = `INSERT INTO lot (producer_id, id, code, premises_id, category, created_at) VALUES ($1, gen_random_uuid(), 'X', $2, 'x', now())`;
      expect(await app.refusal(lot, own.floor.producerId, ids.premises)).toBe('23503');
      const vessel = `UPDATE vessel SET premises_id = $1`;
      expect(await app.refusal(vessel, ids.premises)).toBe('23503');
    });
  });

  test('are not told by a unique key: the same code in two producers is no conflict', async () => {
    await app.as(own.floor.producerId, async () => {
      const { rows } = await app.client.query<{ code: string }>(`SELECT code FROM lot`);
      expect(rows.map(({ code }) => code)).toContain('LOT-001');
    });
  });

  test('a statement that forgot its producer can store nothing', async () => {
    await app.as(undefined, async () => {
      expect(
        await app.refusal(
          `INSERT INTO premises (producer_id, id, name, time_zone, approvals, created_at) VALUES ($1, gen_random_uuid(), 'x', 'UTC', '[]', now())`,
          own.floor.producerId,
        ),
      ).toBe(DENIED);
    });
  });
});

describe('the books', () => {
  test('no row is put in, changed, deleted or emptied but through the functions', async () => {
    const books = tables.map(({ name }) => name).filter((name) => !SETTINGS.includes(name));
    expect(books.length).toBeGreaterThan(19);
    await app.as(own.floor.producerId, async () => {
      for (const table of books) {
        for (const sql of [
          `INSERT INTO ${table} SELECT * FROM ${table}`,
          `UPDATE ${table} SET producer_id = producer_id`,
          `DELETE FROM ${table}`,
          `TRUNCATE ${table}`,
          `MERGE INTO ${table} t USING (SELECT 1) s ON false WHEN NOT MATCHED THEN INSERT DEFAULT VALUES`,
          `SELECT * FROM ${table} FOR UPDATE`,
        ]) {
          expect([sql, await app.refusal(sql)]).toEqual([sql, DENIED]);
        }
      }
    });
  });

  test('the functions inside cannot be called from outside', async () => {
    const mine = own.floor.producerId;
    await app.as(mine, async () => {
      for (const call of [
        `write_open($1, now(), '{}', '{}')`,
        `write_close($1, '{}', now(), '{}', 0)`,
        `check_period($1, $1, now())`,
        `fail('not-found', '{}')`,
        `make_tenant_table('posting', 'settings')`,
      ]) {
        expect([call, await app.refusal(`SELECT ${call.replaceAll('$1', `'${mine}'::uuid`)}`)]).toEqual([call, DENIED]);
      }
    });
  });

  const close = (at: string) =>
    `SELECT set_config('app.recorded_at', '${at}', true), settings_close($1, '{"version":1}', '{}')`;

  test('a write cannot be closed at a time of one’s own: not before the last entry, not ahead of the clock', async () => {
    await app.as(own.floor.producerId, async () => {
      expect(await app.refusal(`SELECT settings_close($1, '{"version":1}', '{}')`, own.floor.producerId)).not.toMatch(
        /^allowed/,
      );
      expect(await app.refusal(close('2020-01-01T00:00:00Z'), own.floor.producerId)).toBe('GB001');
      expect(await app.refusal(close('2099-01-01T00:00:00Z'), own.floor.producerId)).toBe('GB001');
    });
  });

  test('nothing is recorded ahead of the database’s clock', async () => {
    await app.as(own.floor.producerId, async () => {
      const ahead = `clock_timestamp() + interval '1 minute'`;
      expect(await app.refusal(`SELECT post($1, '{}', ${ahead}, '{}', '{}')`, own.floor.producerId)).toBe('GB001');
      expect(await app.refusal(`SELECT settings_open($1, ${ahead}, '{}', '{}')`, own.floor.producerId)).toBe('GB001');
    });
    await app.as(randomUUID(), async () => {
      expect(await app.refusal(`SELECT head_open($1, now() + interval '1 minute')`, randomUUID())).toBe('GB001');
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
    await app.client.query('SAVEPOINT s');
    try {
      await app.client.query(`SELECT post($1, $2, now(), $3, '{}')`, [
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
      await app.client.query('ROLLBACK TO s');
    }
  }

  test('what does not balance, goes below zero, has no account or no period is refused by the function itself', async () => {
    await app.as(own.floor.producerId, async () => {
      const { rows } = await app.client.query<{ id: string; kind: string }>(
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
      ).toBe('unknown-name');
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
