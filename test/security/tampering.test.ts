import { createHash } from 'node:crypto';
import type pg from 'pg';
import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { TestService } from '../support/service.js';

let service: TestService;
let shared: FullProducer;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  shared = await fullProducer(service);
});
afterAll(() => service.stop());

interface Fault {
  entry: number;
  place: string;
  problem: string;
}
interface Check {
  holds: boolean;
  head: string;
  faults: Fault[];
}

const checkOf = async ({ floor }: FullProducer): Promise<Check> =>
  (await floor.get('/v1/audit-trail/check')) as unknown as Check;

/** As somebody who owns the machine: no trigger, no row security, no foreign key stands in the way. */
const asSuperuser = (work: (db: pg.Client) => Promise<unknown>) =>
  withConnection(service.database.superuserUrl, async (db) => {
    await db.query(`SET session_replication_role = replica`);
    await work(db);
  });

const sha256 = (data: string | Buffer): Buffer => createHash('sha256').update(data).digest();

interface Entry {
  sequence: string;
  version: number;
  at: string;
  body: string;
}

/** Rewrites the trail from an entry on, with bodies changed and every hash recomputed: what the chain alone cannot show. */
async function rewriteTail(db: pg.Client, producer: string, change: (entry: Entry) => string): Promise<void> {
  const { rows } = await db.query<Entry>(
    `SELECT sequence, version, to_char(recorded_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') AS at, body
       FROM trail_entry WHERE producer_id = $1 ORDER BY sequence`,
    [producer],
  );
  let previous: Buffer = Buffer.alloc(32);
  for (const entry of rows) {
    const body = change(entry);
    const bodyHash = sha256(body);
    const lines = [entry.version, entry.sequence, entry.at, previous.toString('hex'), bodyHash.toString('hex')];
    const entryHash = sha256(lines.map((line) => `${line}\n`).join(''));
    await db.query(
      `UPDATE trail_entry SET body = $3, body_hash = $4, previous_hash = $5, entry_hash = $6 WHERE producer_id = $1 AND sequence = $2`,
      [producer, entry.sequence, body, bodyHash, previous, entryHash],
    );
    previous = entryHash;
  }
  await db.query(`UPDATE producer_head SET trail_hash = $2 WHERE producer_id = $1`, [producer, previous]);
}

const fresh = async () => {
  const whole = await fullProducer(service);
  const before = await checkOf(whole);
  expect(before).toMatchObject({ holds: true, faults: [] });
  return { whole, before, producer: whole.floor.producerId, ids: whole.ids };
};

/** The faults that the check names after one statement as the superuser, $1 being the producer; then it is undone. */
async function faultsAfter(statement: string): Promise<Fault[]> {
  return withConnection(service.database.superuserUrl, async (db) => {
    await db.query(`BEGIN; SET LOCAL session_replication_role = replica`);
    const { rowCount } = await db.query(statement, [shared.floor.producerId]);
    expect(rowCount).toBeGreaterThan(0);
    const { rows } = await db.query<Fault>(
      `SELECT entry::int, place, problem FROM check_trail($1, 1) UNION ALL SELECT 0, place, problem FROM check_balances($1)`,
      [shared.floor.producerId],
    );
    await db.query('ROLLBACK');
    return rows;
  });
}

const places = (faults: Fault[]): string[] => faults.map(({ place, problem }) => `${place}: ${problem}`);
const SOME_POSTING = `operation_sequence = (SELECT max(operation_sequence) FROM posting WHERE producer_id = $1)`;

test.each([
  [
    'a posting changed',
    `UPDATE posting SET litres = litres + 1 WHERE producer_id = $1 AND ${SOME_POSTING} AND line = 1`,
    /^posting [0-9a-f-]{36} line 1: it differs from its trail entry$/,
  ],
  [
    'a posting moved to another account',
    `UPDATE posting SET account_id = (SELECT id FROM account WHERE producer_id = $1 AND kind = 'receipts') WHERE producer_id = $1 AND ${SOME_POSTING} AND line = 1`,
    /^posting [0-9a-f-]{36} line 1: it differs/,
  ],
  [
    'a posting deleted',
    `DELETE FROM posting WHERE producer_id = $1 AND ${SOME_POSTING} AND line = 1`,
    /^posting [0-9a-f-]{36} line 1: the trail has it, the table does not$/,
  ],
  [
    'a component changed',
    `UPDATE posting_component SET c_lpa = c_lpa * 2 WHERE producer_id = $1 AND c_lpa <> 0`,
    /^posting [0-9a-f-]{36} line \d: it differs/,
  ],
  [
    'a component deleted',
    `DELETE FROM posting_component WHERE producer_id = $1`,
    /^posting [0-9a-f-]{36} line \d: it differs/,
  ],
  [
    'a finding changed',
    `UPDATE finding SET strength_percent = strength_percent - 1 WHERE producer_id = $1`,
    /^finding [0-9a-f-]{36}: it differs from its trail entry$/,
  ],
  [
    'a column of a finding filled in that its entry does not have',
    `UPDATE finding SET restates = id WHERE producer_id = $1`,
    /^finding [0-9a-f-]{36}: it differs/,
  ],
  [
    'a reading changed',
    `UPDATE reading SET value = 1.05 WHERE producer_id = $1 AND value = 1.036`,
    /^reading [0-9a-f-]{36}: it differs/,
  ],
  [
    'a reading given another vessel',
    `UPDATE reading SET vessel_id = (SELECT id FROM vessel WHERE producer_id = $1 LIMIT 1) WHERE producer_id = $1 AND value = 1.036`,
    /^reading [0-9a-f-]{36}: it differs/,
  ],
  [
    'a strike deleted',
    `DELETE FROM reading_strike WHERE producer_id = $1`,
    /^reading_strike [0-9a-f-]{36}: the trail has/,
  ],
  [
    'an operation dated otherwise',
    `UPDATE operation SET occurred_at = occurred_at - interval '1 day' WHERE producer_id = $1 AND sequence = 2`,
    /^operation [0-9a-f-]{36}: it differs/,
  ],
  [
    'an operation recorded otherwise',
    `UPDATE operation SET recorded_at = recorded_at - interval '1 day' WHERE producer_id = $1 AND sequence = 2`,
    /^operation [0-9a-f-]{36}: it differs/,
  ],
  [
    'an operation made a reversal',
    `UPDATE operation SET corrects = id WHERE producer_id = $1 AND sequence = 2`,
    /^operation [0-9a-f-]{36}: it differs/,
  ],
  [
    'a packaged lot counted otherwise',
    `UPDATE packaged_lot SET count = count - 10 WHERE producer_id = $1`,
    /^packaged_lot [0-9a-f-]{36}: it differs/,
  ],
  [
    'a period made longer',
    `UPDATE period SET ends_at = ends_at - interval '1 day' WHERE producer_id = $1`,
    /^period [0-9a-f-]{36}: it differs/,
  ],
  [
    'an account made another kind',
    `UPDATE account SET kind = 'samples' WHERE producer_id = $1 AND kind = 'packaging-loss' OR producer_id = $1 AND kind = 'process-loss'`,
    /^account [0-9a-f-]{36}: it differs/,
  ],
  [
    'a stock account made a nominal one',
    `UPDATE account SET side = 'nominal' WHERE producer_id = $1 AND kind = 'packaged'`,
    /^account [0-9a-f-]{36}: it differs/,
  ],
  [
    'a balance changed',
    `UPDATE balance SET litres = litres + 1 WHERE producer_id = $1`,
    /^account stock.*: its balance is not the sum of its postings$/,
  ],
  [
    'a balance that forgets its last gauge',
    `UPDATE balance SET last_fixed_at = NULL WHERE producer_id = $1 AND last_fixed_at IS NOT NULL`,
    /^account stock.*: its balance is not the sum of its postings$/,
  ],
  [
    'words about a person changed',
    `UPDATE personal_text SET text = 'found in the evening' WHERE producer_id = $1 AND text LIKE 'found%'`,
    /^personal text [0-9a-f-]{36}: its hash differs/,
  ],
  [
    'a body changed',
    `UPDATE trail_entry SET body = replace(body, 'mass-balance', 'certificate') WHERE producer_id = $1 AND body LIKE '%mass-balance%'`,
    /^trail entry \d+: its body is not the one that was hashed$/,
  ],
  [
    'a body made unreadable',
    `UPDATE trail_entry SET body = body || 'x' WHERE producer_id = $1 AND sequence = 5`,
    /^trail entry 5: its body is not the one that was hashed$/,
  ],
  [
    'an entry dated otherwise',
    `UPDATE trail_entry SET recorded_at = recorded_at - interval '1 hour' WHERE producer_id = $1 AND sequence = 4`,
    /^trail entry 4: its hash is not that of its lines$/,
  ],
  [
    'an entry deleted',
    `DELETE FROM trail_entry WHERE producer_id = $1 AND sequence = 4`,
    /^trail entry 5: entries are missing before it$/,
  ],
  [
    'the first entry deleted',
    `DELETE FROM trail_entry WHERE producer_id = $1 AND sequence = 1`,
    /^trail entry 2: entries are missing before it$/,
  ],
  [
    'the last entry deleted',
    `DELETE FROM trail_entry WHERE producer_id = $1 AND sequence = (SELECT max(sequence) FROM trail_entry WHERE producer_id = $1)`,
    /^producer head: the head is not the last entry of the trail$/,
  ],
  ['the head changed', `UPDATE producer_head SET trail_hash = sha256('x') WHERE producer_id = $1`, /^producer head: /],
  [
    'the head set back to nothing',
    `UPDATE producer_head SET trail_hash = decode(repeat('00', 32), 'hex'), trail_sequence = 0 WHERE producer_id = $1`,
    /^producer head: /,
  ],
  [
    'an account given an approval that its entry does not have',
    `UPDATE account SET approval = 'X' WHERE producer_id = $1`,
    /^account [0-9a-f-]{36}: it differs/,
  ],
  ['the head deleted', `DELETE FROM producer_head WHERE producer_id = $1`, /^producer head: there is none$/],
  [
    'the head told of another operation',
    `UPDATE producer_head SET operation_sequence = operation_sequence + 1 WHERE producer_id = $1`,
    /^producer head: its operation is not the last one$/,
  ],
])('%s: the check names the place', async (_, sql, named) => {
  const faults = places(await faultsAfter(sql));
  expect(faults.filter((fault) => named.test(fault)).length).toBeGreaterThan(0);
});

test('an altered trail is named before what rests on it', async () => {
  const [first] = await faultsAfter(
    `UPDATE trail_entry SET body = body || ' ' WHERE producer_id = $1 AND sequence = 5`,
  );
  expect(first).toMatchObject({ entry: 5, place: 'trail entry 5' });
});

test('the bodies of two entries swapped', async () => {
  const faults = places(
    await faultsAfter(`
      UPDATE trail_entry a SET body = b.body FROM trail_entry b
       WHERE a.producer_id = $1 AND b.producer_id = $1 AND (a.sequence, b.sequence) IN ((4, 5), (5, 4))`),
  );
  expect(faults).toEqual(
    expect.arrayContaining([
      'trail entry 4: its body is not the one that was hashed',
      'trail entry 5: its body is not the one that was hashed',
    ]),
  );
});

test('a balanced pair of postings put in, with balances to match', async () => {
  const { whole, producer } = await fresh();
  await asSuperuser(async (db) => {
    await db.query(
      `INSERT INTO posting SELECT (p).* FROM (
         SELECT jsonb_populate_record(NULL::posting, to_jsonb(q) || jsonb_build_object('line', 90 + n, 'litres', CASE n WHEN 1 THEN 1 ELSE -1 END,
           'lpa_fermented', 0, 'lpa_added', 0)) AS p
           FROM posting q, generate_series(1, 2) n
          WHERE q.producer_id = $1 AND q.line = 1 AND ${SOME_POSTING.replace('operation_sequence', 'q.operation_sequence')}) x`,
      [producer],
    );
  });
  const check = await checkOf(whole);
  expect(check.holds).toBe(false);
  expect(places(check.faults).map((fault) => fault.replace(/[0-9a-f-]{36}/, 'id'))).toEqual([
    'posting id line 91: it stands in no trail entry',
    'posting id line 92: it stands in no trail entry',
  ]);
});

test('a trail rewritten with every hash recomputed still differs from the books', async () => {
  const { whole, producer } = await fresh();
  await asSuperuser((db) => rewriteTail(db, producer, ({ body }) => body.replaceAll('"count":300', '"count":290')));
  const check = await checkOf(whole);
  expect(places(check.faults)[0]).toMatch(/^packaged_lot [0-9a-f-]{36}: it differs from its trail entry$/);
});

test('a trail rewritten so that nothing in it can be read is named, not a failure of the service', async () => {
  const { whole, producer } = await fresh();
  await asSuperuser((db) => rewriteTail(db, producer, ({ body, sequence }) => (sequence === '5' ? 'not json' : body)));
  const check = await checkOf(whole);
  expect(check.holds).toBe(false);
  expect(places(check.faults)[0]).toMatch(/^trail entry 5: /);
});

test('a trail rewritten so that it describes what no table can hold is named too', async () => {
  const { whole, producer } = await fresh();
  await asSuperuser((db) =>
    rewriteTail(db, producer, ({ body }) => body.replaceAll('"lpa_added":"0"', '"lpa_added":"none"')),
  );
  const check = await checkOf(whole);
  expect(places(check.faults)).toContain('trail: an entry describes rows that these books cannot have');
});

test.each([
  [
    '"nominal_litres":',
    '"nominal_liters":"1","nominal_litres":',
    /^packaged_lot [0-9a-f-]{36}: its trail entry has a name/,
  ],
  ['"side":"stock"', '"sides":"2","side":"stock"', /^account [0-9a-f-]{36}: its trail entry has a name/],
  ['"lpa_added":', '"lpa":"1","lpa_added":', /^posting [0-9a-f-]{36} line \d: its trail entry has a name/],
  ['"occurred_at":', '"happened_at":"1","occurred_at":', /^operation [0-9a-f-]{36}: its trail entry has a name/],
  ['"rows":{', '"rows":{"balance":[],', /^trail entry \d+: its body has a part that these books do not know$/],
  ['"rows":{', '"lines":[],"rows":{', /^trail entry \d+: its body has a part that these books do not know$/],
])('a trail rewritten with a name that no table has (%s) is named', async (before, after, named) => {
  const { whole, producer } = await fresh();
  await asSuperuser((db) => rewriteTail(db, producer, ({ body }) => body.replaceAll(before, after)));
  const { holds, faults } = await checkOf(whole);
  expect(holds).toBe(false);
  expect(places(faults)[0]).toMatch(named);
  expect(places(faults).every((fault) => named.test(fault))).toBe(true);
});

test('trail and books rewritten alike: only a head that was written down shows it', async () => {
  const { whole, before, producer } = await fresh();
  await asSuperuser(async (db) => {
    await rewriteTail(db, producer, ({ body }) => body.replaceAll('"lot_mark":"LOT-001"', '"lot_mark":"LOT-002"'));
    await db.query(`UPDATE packaged_lot SET lot_mark = 'LOT-002' WHERE producer_id = $1 AND lot_mark = 'LOT-001'`, [
      producer,
    ]);
  });
  const after = await checkOf(whole);
  expect(after.holds).toBe(true);
  expect(after.head).not.toBe(before.head);
});

test('over HTTP: one posting altered, and the other producers’ books still hold', async () => {
  const { whole, producer } = await fresh();
  await asSuperuser((db) =>
    db.query(`UPDATE posting SET litres = litres + 1 WHERE producer_id = $1 AND line = 1`, [producer]),
  );
  const check = await checkOf(whole);
  expect(check.holds).toBe(false);
  expect(places(check.faults)[0]).toMatch(/^posting [0-9a-f-]{36} line 1: it differs/);
  expect(await checkOf(shared)).toMatchObject({ holds: true, faults: [] });
});

test('over HTTP: a body that cannot be read and a head that is gone are answers, not failures', async () => {
  const { whole, producer } = await fresh();
  await asSuperuser(async (db) => {
    await db.query(`UPDATE trail_entry SET body = body || 'x' WHERE producer_id = $1 AND sequence = 5`, [producer]);
    await db.query(`DELETE FROM producer_head WHERE producer_id = $1`, [producer]);
  });
  const { holds, faults } = await checkOf(whole);
  expect(holds).toBe(false);
  expect(places(faults)).toEqual(expect.arrayContaining(['producer head: there is none']));
});
