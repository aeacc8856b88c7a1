import { readdirSync, readFileSync } from 'node:fs';
import { uuidv7 } from 'uuidv7';
import { accountId, nominalAccount } from '../../src/ledger/books/account.js';
import { bodyRows } from '../../src/tenancy/producer-database/batch-body.js';
import type { Json, Call } from './refusals-world.js';
import {
  NOW,
  day,
  service,
  lots,
  reading,
  place,
  released,
  packed,
  subject,
  operation,
  out,
  movementRow,
  event,
  charged,
  finding,
  report,
  periodRow,
  withdrawn,
  sha256,
  post,
  posting,
  altered,
  idempotency,
  settingsOpen,
  charged1,
  overfilled,
  undone,
  explaining,
  withName,
  refusedBy,
  openWorld,
  closeWorld,
} from './refusals-world.js';

// Each `fail()` of the functions in prisma/sql is reached by a call that the service's own role makes. Where a refusal was raised is read from the
// context that PostgreSQL gives with an error, so that a row of this table cannot pass by another refusal of the same code.

beforeAll(openWorld);
afterAll(closeWorld);

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
  [
    'more bottles than there are',
    { code: 'insufficient-stock', balanceThen: { value: -1, unit: 'L' } },
    () => [posting([out(1, 102)])],
  ],
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
    'a period that overlaps another',
    { code: 'conflict' },
    () => [post(bodyRows({ action: 'periods.open', rows: { period: [periodRow()] } }))],
  ],
  [
    'a withdrawal of a period with entries',
    { code: 'in-use' },
    () => [post(bodyRows({ action: 'periods.withdraw', rows: { periodWithdrawal: [withdrawn()] } }))],
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
    'a reversal after which a finding on a struck reading would count again',
    { code: 'reading-in-use', countsAgain: true },
    () => {
      const [draft, rows] = charged(1, lots[0]);
      const compositionId = String(draft.head.compositionId);
      const instead = operation(5, [], { kind: 'finding', timing: 'assertion' }).assert(packed(), subject());
      const first = finding(uuidv7(), compositionId, reading);
      const { finding: second = [] } = finding(uuidv7(), compositionId, reading);
      const strike = { readingId: reading, reasonCode: 'misread', textId: null, replacedBy: null };
      return [
        posting([draft], { ...rows, ...first }),
        posting([instead], {
          finding: second.map((row) => ({ ...row, operationId: instead.head.id })),
          readingStrike: [strike],
        }),
        posting([undone(instead)]),
      ];
    },
  ],
  ['more into a vessel than it holds', { code: 'over-capacity', vesselName: 'C1' }, () => [posting(...overfilled())]],
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
    { code: 'container-holds-less', serial: 'K-1', contents: { value: 0.5, unit: 'L' } },
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
