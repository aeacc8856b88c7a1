import type { ClosingCode, ClosingFacts } from '../../src/excise/closing/closing-check.js';
import { CLOSING_CODES, closingFindings } from '../../src/excise/closing/closing-check.js';
import { amount } from '../../src/ledger/books/amount.js';
import { toLitres } from '../../src/ledger/books/litres.dto.js';
import { Exact } from '../../src/metrology/decimals.js';
import { reconcile } from '../../src/ledger/figures/figure.js';

type Period = ClosingFacts['period'];
type Report = ClosingFacts['report'];

const ENDS_AT = new Date('2026-03-31T23:00:00Z');
const PERIOD: Period = {
  id: 'p',
  premisesId: 'x',
  startsOn: '2026-03-01',
  endsBefore: '2026-04-01',
  startsAt: new Date('2026-03-01T00:00:00Z'),
  endsAt: ENDS_AT,
  timeZone: 'Europe/London',
  reportId: null,
  reportHash: null,
  reportHeadSequence: null,
  withdrawn: false,
  filings: 0,
  filedOn: null,
  lastReport: false,
  closedAt: null,
};
const EVEN = reconcile(amount(10, 1), amount(-2, '-0.2'), amount(8, '0.8'));
const tieAmount = (litres: number, fermented: number, added: number) => ({
  litres: toLitres(litres),
  litresOfPureAlcohol: toLitres(fermented + added),
  fermented: toLitres(fermented),
  added: toLitres(added),
});

const release = (...codes: string[]) => ({
  lotMark: 'B-1',
  category: 'beer',
  dutyDate: '2026-03-10',
  operations: '/o',
  flags: codes.map((code) => ({ code, detail: `${code} of it.` })),
});

const PRODUCER = { id: 'p', name: 'P', simulated: false, legalName: 'P Ltd', address: 'A', taxNumber: 'T-1' };
const PREMISES = { id: 'x', name: 'X', address: 'B', approvals: [{ authority: 'C', number: 'N' }] };

/** A report in which nothing is amiss, of the parts that a closing looks at; `change` puts something amiss. */
const reportWith = (change: object = {}): Report =>
  ({
    producer: PRODUCER,
    premises: PREMISES,
    categories: [{ category: 'beer', balances: true }],
    stages: [{ stage: 'packed', balances: true }],
    ties: [{ name: 'pack', balances: true, difference: tieAmount(0, 0, 0) }],
    duty: { tie: { balances: true }, releases: [release()] },
    lotsInProcess: [{ lotId: 'l', lotCode: 'L-1', standing: 'provisional' }],
    losses: [
      { line: 'theft', reasonCode: 'theft', day: '2026-03-10', operations: '/o' },
      { line: 'process-loss', day: '2026-03-10', operations: '/o' },
    ],
    stock: { items: [{ kind: 'packaged', description: 'B-1', operations: '/o' }] },
    stockDifferences: [{ product: 'B-1', explained: true, litres: toLitres(-1), operations: '/o' }],
    lateEntries: { afterDays: 1, entries: [] },
    lossesOverPeriods: { series: [] },
    ...change,
  }) as unknown as Report;

const NO_DOUBTS: ClosingFacts['doubts'] = { gauges: [], lots: [], materials: [], unnamed: [], usualGaugePercent: 5 };
const GAUGE = {
  operationId: 'g',
  occurredAt: new Date('2026-03-10T09:00:00Z'),
  vesselName: 'FV 1',
  lotCode: 'L-1',
  reasonCode: 'misread',
  bookLitres: new Exact(177),
  standardUncertaintyL: 0.5,
};
const SUGAR = { id: 'm', code: 'SU-1', premisesId: 'x', owner: null, unit: 'kg' as const, onHand: new Exact(-4) };

const facts = (change: Partial<ClosingFacts> = {}): ClosingFacts => ({
  now: ENDS_AT,
  period: PERIOD,
  openBefore: undefined,
  faults: [],
  reconciliation: EVEN,
  report: reportWith(),
  labels: [],
  doubts: NO_DOUBTS,
  allowsUnexplained: true,
  allowsIncompleteDuty: false,
  ...change,
});

test('nothing amiss, nothing found', () => {
  expect(closingFindings(facts())).toEqual([]);
});

const before: Period = { ...PERIOD, id: 'b', startsOn: '2026-02-01' };
const entry = (occurredAt: string) => ({ occurredAt });

/** Each finding by itself: what is amiss, its code, whether it blocks, what the detail has to name, the link. */
const TABLE: [string, Partial<ClosingFacts>, ClosingCode, boolean, RegExp, string?][] = [
  [
    'a label',
    { labels: [{ packagedLotId: 'k', lotMark: 'B-1', detail: 'The strength of record is 4.14 %.' }] },
    'label-does-not-hold',
    false,
    /B-1 does not hold. The strength of record is 4.14 %/,
    '/v1/packaged-lots/k',
  ],
  [
    'a first page without a tax number',
    {
      report: reportWith({ producer: { ...PRODUCER, taxNumber: undefined }, premises: { ...PREMISES, approvals: [] } }),
    },
    'head-incomplete',
    false,
    /does not have the tax number, an approval of the premises that was valid in the period: not given/,
    '/v1/producer',
  ],
  ['closed', { period: { ...PERIOD, reportId: 'r' } }, 'already-closed', true, /closed/],
  ['a millisecond too early', { now: new Date(ENDS_AT.getTime() - 1) }, 'not-ended', true, /2026-03-31T23:00:00.000Z/],
  ['the one before is open', { openBefore: before }, 'earlier-period-open', true, /2026-02-01/, '/v1/periods/b'],
  [
    'a fault of the trail',
    { faults: [{ entry: 3, place: 'posting', problem: 'missing' }] as unknown as ClosingFacts['faults'] },
    'trail-fault',
    true,
    /posting: missing/,
    '/v1/audit-trail/check',
  ],
  [
    'books do not balance',
    { reconciliation: reconcile(amount(10, 1), amount(-2, '-0.2'), amount('8.000001', '0.9', '0.3')) },
    CLOSING_CODES[4],
    true,
    /0\.000001 L.* 0\.1 L .* 0\.3 L /,
  ],
  [
    'a category',
    { report: reportWith({ categories: [{ category: 'cider', balances: false }] }) },
    CLOSING_CODES[5],
    true,
    /cider/,
  ],
  ['a stage', { report: reportWith({ stages: [{ stage: 'keg', balances: false }] }) }, CLOSING_CODES[6], true, /keg/],
  [
    'a tie',
    { report: reportWith({ ties: [{ name: 'rack', balances: false, difference: tieAmount(1.5, 0.25, 0.125) }] }) },
    CLOSING_CODES[7],
    true,
    /rack.*1\.5 L.*0\.25 L.*0\.125 L/,
  ],
  [
    'a flag of what a serving tank gave',
    { report: reportWith({ duty: { tie: { balances: true }, releases: [{ ...release('no-rate'), lotMark: '' }] } }) },
    'duty-incomplete',
    true,
    /The release of beer on 2026-03-10/,
    '/o',
  ],
  ...['no-rate', 'no-category', 'no-original-extract', 'band-undecided'].flatMap((code): typeof TABLE => {
    const report = reportWith({ duty: { tie: { balances: true }, releases: [release(code)] } });
    const said = new RegExp(`B-1 on 2026-03-10 has no duty yet: ${code} of it`);
    return [
      [code, { report }, 'duty-incomplete', true, said, '/o'],
      [`${code}, allowed`, { report, allowsIncompleteDuty: true }, 'duty-incomplete', false, said, '/o'],
    ];
  }),
  ...['outside-label-tolerance', 'measured-in-another-band', 'no-measured-strength'].map(
    (code): (typeof TABLE)[number] => [
      code,
      { report: reportWith({ duty: { tie: { balances: true }, releases: [release(code)] } }) },
      'release-flagged',
      false,
      new RegExp(`B-1 on 2026-03-10: ${code} of it`),
      '/o',
    ],
  ),
  [
    'releases',
    { report: reportWith({ duty: { tie: { balances: false }, releases: [] } }) },
    'releases-differ-from-books',
    false,
    /releases/,
  ],
  [
    'a lot without a strength',
    { report: reportWith({ lotsInProcess: [{ lotId: 'l', lotCode: 'L-1', standing: 'none' }] }) },
    'in-process-without-finding',
    false,
    /L-1/,
    '/v1/lots/l',
  ],
  ...(['accidental-loss', 'theft', 'transit-loss', 'destroyed'] as const).map((line): (typeof TABLE)[number] => [
    `${line} without a reason`,
    { report: reportWith({ losses: [{ line, day: '2026-03-10', operations: '/o' }] }) },
    'loss-without-reason',
    false,
    /2026-03-10/,
    '/o',
  ]),
  [
    'goods on the way',
    { report: reportWith({ stock: { items: [{ kind: 'in-transit', description: 'K-1', operations: '/o' }] } }) },
    'consignment-not-arrived',
    false,
    /K-1/,
    '/o',
  ],
  ...([1770, 17.7] as const).map((found): (typeof TABLE)[number] => [
    `a gauge of ${found} L for 177 L`,
    { doubts: { ...NO_DOUBTS, gauges: [{ ...GAUGE, foundLitres: new Exact(found) }] } },
    'gauge-far-from-books',
    false,
    new RegExp(
      `FV 1 with lot L-1 on 10 March 2026 at 09:00 .*177 L .* ${found === 1770 ? '1,770' : '17.7'} L were measured; up to 8.85 L .*misread`,
    ),
    '/v1/operations/g',
  ]),
  [
    'more alcohol than the fermentables could give',
    { doubts: { ...NO_DOUBTS, lots: [{ lotId: 'l', lotCode: 'L-1', fermentedL: 87.5, mostL: 12.073 }] } },
    'alcohol-above-fermentables',
    false,
    /L-1 fermented 87.5 L .* 12.07 L at the most/,
    '/v1/lots/l',
  ],
  [
    'a material below zero',
    { doubts: { ...NO_DOUBTS, materials: [SUGAR] } },
    'material-below-zero',
    false,
    /^-4 kg of SU-1 are on hand/,
    '/v1/material-lots/m',
  ],
  [
    'late entries, the first of them named',
    {
      report: reportWith({
        lateEntries: { afterDays: 2, entries: [entry('2026-03-09T00:00:00Z'), entry('2026-03-02T00:00:00Z')] },
      }),
    },
    'late-entries',
    false,
    /^2 .*48 .*2026-03-02/,
  ],
];

test.each(TABLE.map((row) => ({ name: row[0], row })))('$name', ({ row }) => {
  const [, change, code, blocks, detail, link] = row;
  const findings = closingFindings(facts(change));
  expect(findings).toStrictEqual([
    { code, blocks, detail: expect.stringMatching(detail) as string, ...(link === undefined ? {} : { link }) },
  ]);
});

test.each([
  [true, false],
  [false, true],
])('a difference without a reason, allowed: %s, blocks: %s', (allowsUnexplained, blocks) => {
  const stockDifferences = [{ product: 'B-1', explained: false, litres: toLitres('-0.33'), operations: '/o' }];
  expect(closingFindings(facts({ allowsUnexplained, report: reportWith({ stockDifferences }) }))).toEqual([
    {
      code: 'unexplained-difference',
      blocks,
      detail: expect.stringMatching(/B-1.*-0\.33 L/) as string,
      link: '/o',
    },
  ]);
});
