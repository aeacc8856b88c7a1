import { createHash, randomUUID } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { uuidv7 } from 'uuidv7';
import type { AccountKey, Subject } from '../../src/ledger/books/account.js';
import { accountId, liquidAccount, nominalAccount, packagedAccount } from '../../src/ledger/books/account.js';
import { amount } from '../../src/ledger/books/amount.js';
import type { OperationHead } from '../../src/ledger/books/operation-draft.js';
import { booksOf, OperationDraft } from '../../src/ledger/books/operation-draft.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { compositionRow } from '../../src/production/lots/compositions/composition.rows.js';
import type { Batch, BooksRows, RowOf } from '../../src/tenancy/producer-database/batch.js';
import { bodyRows } from '../../src/tenancy/producer-database/batch-body.js';
import { AppSession } from '../support/app-session.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// Each `fail()` of the functions in prisma/sql is reached by a call that the service's own role makes. Where a refusal was raised is read from the
// context that PostgreSQL gives with an error, so that a row of this table cannot pass by another refusal of the same code.

type Json = Record<string, unknown>;
/** One call: the function with its arguments, $1 being the producer. */
type Call = readonly [sql: string, ...values: unknown[]];

const NOW = '2026-06-01T08:00:00Z';
const MARCH_1 = '2026-03-01T12:00:00.000Z';
const day = (n: number): Date => new Date(Date.parse(MARCH_1) + n * 86_400_000);

let service: TestService;
let floor: Floor;
let app: AppSession;
let vessel: string;
let lots: string[];
let bottles: string;
let periodId: string;
let reading: string;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date(NOW)) });
  floor = await Floor.open(service, [['2026-02-01', '2026-07-01']]);
  periodId = ((await floor.get('/v1/periods')).items as { id: string }[])[0].id;
  vessel = await floor.vessel('FV1');
  lots = [await floor.lot('beer'), await floor.lot('beer')];
  reading = await floor.gravity(lots[0], 1.04, '2026-03-01T12:00:00Z');
  // 100 bottles of half a litre at 4 %: 50 L with 2 L of pure alcohol.
  const facts = { mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4 };
  const opened = await openStock(floor, '2026-02-01T08:00:00Z', [], [{ ...facts, percent: 4, strengthU: 0.1 }]);
  [bottles] = opened.packaged;
  app = await AppSession.open(service.database.appUrl);
});
afterAll(async () => {
  await app.close();
  await service.stop();
});

const place = () => ({ premisesId: floor.premisesId });
const released = () => nominalAccount(place(), 'released', 'beer');
const packed = () => packagedAccount(place(), bottles);
const subject = (): Subject => ({ category: 'beer', packagedLotId: bottles });

/** An operation on a day of March with its moves. */
function operation(
  at: number,
  moves: readonly (readonly [from: AccountKey, to: AccountKey, litres: number, lpa: number, subject?: Subject])[],
  head: Partial<OperationHead> = {},
): OperationDraft {
  const draft = new OperationDraft({
    id: uuidv7(),
    kind: 'movement',
    timing: 'draw',
    ...place(),
    occurredAt: day(at),
    document: {},
    ...head,
  });
  for (const [from, to, litres, lpa, whose] of moves) {
    draft.move(from, to, amount(litres, lpa), whose ?? subject());
  }
  return draft;
}

/** Bottles of half a litre at 4 % out of stock, or with a number below zero back into it. */
const out = (at: number, count: number, head: Partial<OperationHead> = {}) =>
  operation(at, [[packed(), released(), count / 2, count / 50]], head);

const movementRow = (draft: OperationDraft, kind: string, count: number): RowOf<'movement'> => ({
  operationId: draft.head.id,
  kind,
  packagedLotId: bottles,
  compositionId: null,
  materialLotId: null,
  count,
  litres: String(count / 2),
  dutyDate: null,
  strengthForDutyPercent: null,
  counterpartyTextId: null,
  witnessTextId: null,
  evidence: {},
});

const event = (draft: OperationDraft, what: string, litres: number): RowOf<'containerEvent'> => ({
  operationId: draft.head.id,
  serial: 'K-1',
  event: what,
  packagedLotId: bottles,
  litres: String(litres),
});

/** Wort of a lot charged into the vessel, with its composition. */
function charged(at: number, lotId: string): readonly [OperationDraft, BooksRows] {
  const compositionId = uuidv7();
  const draft = operation(
    at,
    [
      [
        nominalAccount(place(), 'production-in-process', 'beer'),
        liquidAccount(place(), compositionId, vessel),
        100,
        0,
        { category: 'beer', lotId, compositionId },
      ],
    ],
    { kind: 'charge', timing: 'change', lotId, compositionId },
  );
  const row = { id: compositionId, lotId, ...place(), kind: 'charge' as const, operationId: draft.head.id };
  return [draft, { composition: [compositionRow({ ...row, openedAt: day(at) })] }];
}

const finding = (id: string, compositionId: string, readingId: string): BooksRows => ({
  finding: [
    {
      id,
      lotId: lots[0],
      compositionId,
      standing: 'supporting',
      restates: null,
      methodId: 'certificate',
      methodVersion: '1',
      strengthPercent: '5',
      standardUncertainty: '0.05',
      coverageFactor: '2',
      expandedUncertainty: '0.1',
      degreesOfFreedom: null,
      realExtractPlato: null,
      densityKgM3: null,
      budget: [],
      inputs: {},
      warnings: [],
      sampledAt: MARCH_1,
      operationId: null,
    },
  ],
  findingReading: [{ findingId: id, readingId, use: 'final' }],
});

const report = (hash: string): RowOf<'report'> => ({
  id: randomUUID(),
  periodId,
  hash: `\\x${hash}`,
  headSequence: '1',
  headHash: `\\x${'00'.repeat(32)}`,
});
const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

const post = (batch: Partial<Batch> | Json, guard: Json = {}, at = NOW, attachments: Json = {}): Call => [
  'post($1::uuid, $2, $3::timestamptz, $4::jsonb, $5::jsonb)',
  JSON.stringify({ version: 1, action: 'test.post', ...batch }),
  at,
  JSON.stringify({ principal: floor.producerId, ...guard }),
  JSON.stringify(attachments),
];
const posting = (drafts: readonly OperationDraft[], rows?: BooksRows, guard: Json = {}): Call =>
  post(bodyRows({ action: 'test.post', ...booksOf(...drafts), ...(rows === undefined ? {} : { rows }) }), guard);

/** A body whose first operation was changed. */
function altered(draft: OperationDraft, change: (postings: Json[], row: Json) => void): Call {
  const body = structuredClone(bodyRows({ action: 'test.post', ...booksOf(draft) }));
  const [row] = body.operations as Json[];
  change(row.postings as Json[], row);
  return post(body);
}

const idempotency = (bodyHash: string) => ({
  idempotency: { route: 'POST /v1/x', key: 'k', bodyHash, status: 201, response: '{}' },
});
const settingsOpen = (guard: Json): Call => [
  `settings_open($1::uuid, $2::timestamptz, $3::jsonb, '{}'::jsonb)`,
  NOW,
  JSON.stringify({ principal: floor.producerId, ...guard }),
];
/** What is refused, and the calls in one transaction that lead there: all but the last are carried out. */
const CASES: readonly (readonly [name: string, refusal: Json, calls: () => readonly Call[]])[] = [
  [
    'a producer that does not exist',
    { code: 'not-found' },
    () => [[`$1::uuid, post(gen_random_uuid(), '{}', '2026-06-01T08:00:00Z', '{}', '{}')`]],
  ],
  ['a time ahead of the database', { code: 'clock-ahead' }, () => [post({}, {}, '2999-01-01T00:00:00Z')]],
  [
    'a first write ahead of the database',
    { code: 'clock-ahead' },
    () => [['head_open($1::uuid, $2::timestamptz)', '2999-01-01T00:00:00Z']],
  ],
  [
    'an idempotency key with another body',
    { code: 'idempotency-key-reused' },
    () => [post({}, idempotency('aa')), post({}, idempotency('bb'))],
  ],
  [
    'a setting that was written before under the same idempotency key',
    { code: 'replay', status: 201, response: '{}' },
    () => [post({}, idempotency('aa')), settingsOpen(idempotency('aa'))],
  ],
  ['a head that has moved', { code: 'stale' }, () => [post({}, { head: '0' })]],
  ['a part of a chain outside its transaction', { code: 'stale' }, () => [post({}, { chain: 'c' })]],
  [
    'an account that has moved',
    { code: 'stale' },
    () => [post({}, { reads: [{ account: accountId(packed()), version: '9' }] })],
  ],
  [
    'a write that is closed at a time of its own',
    { code: 'trail-broken', in: 'recordedAt' },
    () => [
      [`set_config('app.recorded_at', '2026-01-01T00:00:00Z', true), $1::uuid`],
      [`settings_close($1::uuid, '{}', '{}'::jsonb)`],
    ],
  ],
  [
    'a producer other than that of the session',
    { code: 'wrong-producer' },
    () => [['hold_head($1::uuid)'], ['hold_head(gen_random_uuid()), $1::uuid']],
  ],
  [
    'a property of the body that is not known',
    { code: 'unknown-name', in: 'body', name: 'row' },
    () => [post({ row: {} })],
  ],
  [
    'rows of a table that a body does not fill',
    { code: 'unknown-name', in: 'body', name: 'balance' },
    () => [post({ rows: { balance: [] } })],
  ],
  ...(['reading', 'account', 'operation', 'posting'] as const).flatMap(
    (table): readonly (readonly [string, Json, () => readonly Call[]])[] => [
      [
        `a name that is no column of ${table}`,
        { code: 'unknown-name', in: table, name: 'misspelt' },
        () => [withName(table, 'misspelt')],
      ],
      [
        `a column of ${table} that the database fills`,
        { code: 'unknown-name', in: table, name: 'producer_id' },
        () => [withName(table, 'producer_id')],
      ],
    ],
  ),
  ['more bottles than there are', { code: 'insufficient-stock', wouldBeLitres: -1 }, () => [posting([out(1, 102)])]],
  [
    'a draw before an assertion',
    { code: 'assertion-in-the-way', operationKind: 'count' },
    () => {
      const count = operation(5, [], { kind: 'count', timing: 'assertion' }).assert(packed(), subject());
      return [posting([count]), posting([out(4, 2)])];
    },
  ],
  [
    'a change before a later posting',
    { code: 'later-posting-in-the-way', operationKind: 'movement' },
    () => [posting([out(5, 2)]), posting([out(4, 2, { timing: 'change' })])],
  ],
  ['a moment without a period', { code: 'period-not-open' }, () => [posting([out(300, 1, { occurredAt: day(-200) })])]],
  [
    'a moment in a closed period',
    { code: 'period-closed' },
    () => {
      const row = report(sha256('bytes'));
      const closing = bodyRows({ action: 'periods.close', rows: { report: [row] } });
      return [post(closing, {}, NOW, { reportBytes: { [row.id]: 'bytes' } }), posting([out(1, 1)])];
    },
  ],
  [
    'a report whose hash is not that of its bytes',
    { code: 'trail-broken', in: 'report' },
    () => {
      const row = report(sha256('other bytes'));
      const closing = bodyRows({ action: 'periods.close', rows: { report: [row] } });
      return [post(closing, {}, NOW, { reportBytes: { [row.id]: 'bytes' } })];
    },
  ],
  [
    'a finding on a reading that was struck',
    { code: 'reading-in-use' },
    () => {
      const [draft, rows] = charged(1, lots[0]);
      const strike = { readingId: reading, reasonCode: 'misread', textId: null, replacedBy: null };
      const [id, compositionId] = [uuidv7(), String(draft.head.compositionId)];
      return [
        posting([draft], { ...rows, readingStrike: [strike] }),
        post(bodyRows({ action: 'test.post', rows: finding(id, compositionId, reading) })),
      ];
    },
  ],
  [
    'a second lot in a vessel',
    { code: 'vessel-in-use', operationKind: 'charge' },
    () => [posting(...charged1(1, lots[0])), posting(...charged1(2, lots[1]))],
  ],
  [
    'an explanation that changes what was asserted',
    { code: 'operation-unbalanced' },
    () => {
      const count = operation(5, [], { kind: 'count', timing: 'assertion' }).assert(packed(), subject());
      return [posting([count]), posting([out(4, 2, { explains: count.head.id })])];
    },
  ],
  [
    'an explanation of what was reversed',
    { code: 'conflict' },
    () => {
      const count = operation(5, [], { kind: 'count', timing: 'assertion' }).assert(packed(), subject());
      return [posting([count]), posting([undone(count)]), posting([explaining(count)])];
    },
  ],
  [
    'a reversal of what is explained',
    { code: 'in-use' },
    () => {
      const count = operation(5, [], { kind: 'count', timing: 'assertion' }).assert(packed(), subject());
      return [posting([count]), posting([explaining(count)]), posting([undone(count)])];
    },
  ],
  [
    'more that comes back than went out',
    { code: 'returned-since' },
    () => {
      const release = out(1, 2);
      const back = operation(2, [[nominalAccount(place(), 'returned', 'beer'), packed(), 1.5, 0.06]]);
      return [
        posting([release], { movement: [movementRow(release, 'release', 2)] }),
        posting([back], { movement: [movementRow(back, 'return', 3)] }),
      ];
    },
  ],
  [
    'a container that was not there',
    { code: 'container-elsewhere', serial: 'K-1', event: 'out' },
    () => {
      const draft = out(1, 1);
      return [posting([draft], { containerEvent: [event(draft, 'out', 0.5)] })];
    },
  ],
  [
    'more out of a container than was in it',
    { code: 'container-holds-less', serial: 'K-1', litresInIt: 0.5 },
    () => {
      const [filled, draft] = [out(1, 1), out(2, 1)];
      return [
        posting([filled], { containerEvent: [event(filled, 'filled', 0.5)] }),
        posting([draft], { containerEvent: [event(draft, 'out', 0.6)] }),
      ];
    },
  ],
  [
    'a second opening',
    { code: 'conflict' },
    () => [posting([operation(5, [], { kind: 'opening', timing: 'change' }).assert(released(), subject())])],
  ],
  [
    'a moment more than five minutes ahead',
    { code: 'time-ahead' },
    () => [posting([out(1, 1, { occurredAt: new Date(Date.parse(NOW) + 300_001) })])],
  ],
  [
    'litres that do not balance',
    { code: 'operation-unbalanced' },
    () => [altered(out(1, 2), ([line]) => (line.litres = '-0.999999'))],
  ],
  [
    'components that do not balance',
    { code: 'operation-unbalanced', in: 'components' },
    () => [altered(out(1, 2), ([line]) => (line.components = [['h', '0.1', '0']]))],
  ],
  [
    'a person that is not there to be forgotten',
    { code: 'conflict' },
    () => [['forget_person($1::uuid, gen_random_uuid())']],
  ],
];

const charged1 = (at: number, lotId: string): readonly [OperationDraft[], BooksRows] => {
  const [draft, rows] = charged(at, lotId);
  return [[draft], rows];
};
const undone = ({ head }: OperationDraft): OperationDraft =>
  operation(5, [], { kind: 'reversal', timing: 'assertion', reverses: head.id }).assert(packed(), subject());
/** An entry before a count that leaves what was counted. */
const explaining = ({ head }: OperationDraft): OperationDraft =>
  operation(4, [], { explains: head.id }).assert(packed(), subject());

function withName(table: 'reading' | 'account' | 'operation' | 'posting', name: string): Call {
  const body = structuredClone(bodyRows({ action: 'test.post', ...booksOf(out(1, 2)), rows: { reading: [] } }));
  const [row] = body.operations as Json[];
  const target = {
    reading: () => {
      const added: Json = {};
      ((body.rows as Json).reading as Json[]).push(added);
      return added;
    },
    account: () => (body.accounts as Json[])[0],
    operation: () => row,
    posting: () => (row.postings as Json[])[0],
  }[table]();
  target[name] = floor.producerId;
  return post(body);
}

interface Refused {
  readonly refusal: Json;
  /** The function and its line, as `name:line`. */
  readonly site: string;
}

/** Carries calls out in one transaction that is undone, and returns what the last was refused for. */
async function refusedBy(calls: readonly Call[]): Promise<Refused> {
  return app.as(undefined, async () => {
    for (const [sql, ...values] of calls.slice(0, -1)) {
      await app.client.query(`SELECT ${sql}`, [floor.producerId, ...values]);
    }
    const [sql, ...values] = calls[calls.length - 1];
    try {
      await app.client.query(`SELECT ${sql}`, [floor.producerId, ...values]);
    } catch (error) {
      const { message, where = '' } = error as { message: string; where?: string };
      if (!message.startsWith('GAUGEBOOK ')) {
        throw error;
      }
      const raisedBy = /PL\/pgSQL function (?!fail\()(\w+)\(.*?\) line (\d+) at PERFORM/.exec(where);
      return {
        refusal: JSON.parse(message.slice('GAUGEBOOK '.length)) as Json,
        site: `${raisedBy?.[1]}:${raisedBy?.[2]}`,
      };
    }
    throw new Error('It was allowed.');
  });
}

/** Each refusal that a function in prisma/sql can make, as `name:line code`. A line counts from the `$$` that opens the body. */
function sitesInSql(): string[] {
  return readdirSync('prisma/sql').flatMap((file) => {
    const sql = readFileSync(`prisma/sql/${file}`, 'utf8');
    return [...sql.matchAll(/FUNCTION (\w+)\([^$]*?AS \$\$([\s\S]*?)\$\$/g)].flatMap(([, name, body]) =>
      [...body.matchAll(/fail\(\s*(CASE[\s\S]*?END|'[a-z-]+')/g)].flatMap((call) => {
        const line = body.slice(0, call.index).split('\n').length;
        const codes = call[1].startsWith('CASE')
          ? [...call[1].matchAll(/(?:THEN|ELSE) '([a-z-]+)'/g)].map(([, code]) => code)
          : [call[1].slice(1, -1)];
        return codes.map((code) => `${name}:${line} ${code}`);
      }),
    );
  });
}

const reached = new Set<string>();

test.each(CASES)('%s is refused', async (_, expected, calls) => {
  const before = await service.rowCounts();
  const { refusal, site } = await refusedBy(calls());
  expect(refusal).toMatchObject(expected);
  reached.add(`${site} ${refusal.code}`);
  expect(await service.rowCounts()).toEqual(before);
});

test('every refusal in the SQL files was reached', () => {
  const sites = sitesInSql();
  const calls = readdirSync('prisma/sql').flatMap((file) =>
    readFileSync(`prisma/sql/${file}`, 'utf8')
      .split('\n')
      .filter((line) => /PERFORM fail\(/.test(line)),
  );
  expect(sites.length).toBeGreaterThanOrEqual(calls.length);
  expect([...reached].sort()).toEqual(sites.sort());
});
