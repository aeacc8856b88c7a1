import { alcoholOf, chargeableGroups } from '../../src/excise/reporting/parts/losses-chargeable.js';
import type { ReportInput } from '../../src/excise/reporting/sources/report-input.js';
import type { FlowLine, FlowRow } from '../../src/ledger/figures/flow.reader.js';
import type { DifferenceRow } from '../../src/excise/movements/stock-takes/stock-take.reader.js';
import { amount } from '../../src/ledger/books/amount.js';
import { Exact } from '../../src/metrology/decimals.js';

// The rule is a producer's own: an allowance in per cent of what was handled. All figures were worked by hand.

type Entries = Parameters<typeof chargeableGroups>[0];
type Rule = Parameters<typeof chargeableGroups>[1][number];

const NO_U = { expandedLitres: '0', expandedLpa: '0' };
const figure = (litres: number) => ({
  amount: amount(litres),
  expandedLitres: new Exact(0),
  expandedLpa: new Exact(0),
});

const flow = (kind: FlowRow['kind'], category: string | null, litres: string): FlowRow => ({
  kind,
  category,
  dutyStatus: category === null ? null : 'suspended',
  litres,
  fermented: '0',
  added: '0',
  ...NO_U,
});

/** An entry on a loss line: what it took out of stock, negative. */
const loss = (operationId: string, litres: string, more: Partial<FlowLine> = {}): FlowLine => ({
  kind: 'process-loss',
  operationId,
  sequence: 1n,
  operationKind: 'movement',
  occurredAt: new Date('2026-03-10T12:00:00Z'),
  recordedAt: new Date('2026-03-10T12:00:00Z'),
  reasonCode: null,
  reverses: null,
  corrects: null,
  earlierPeriodId: null,
  category: 'cider',
  dutyStatus: 'suspended',
  lotId: null,
  compositionId: 'c',
  packagedLotId: null,
  materialLotId: null,
  personId: null,
  investigatedBy: null,
  product: null,
  litres,
  fermented: new Exact(litres).times('0.05').toFixed(),
  added: '0',
  ...NO_U,
  ...more,
});

const difference = (operationId: string, litres: string, more: Partial<DifferenceRow> = {}): DifferenceRow => ({
  operationId,
  stockTakeId: 's',
  occurredAt: new Date('2026-03-20T12:00:00Z'),
  category: 'cider',
  product: 'P-1',
  dutyStatus: 'suspended',
  bookLitres: '100',
  countedLitres: '99',
  investigatedBy: null,
  countSheet: null,
  offset: null,
  compositionId: null,
  packagedLotId: 'p',
  reasonCode: null,
  litres,
  fermented: new Exact(litres).times('0.05').toFixed(),
  added: '0',
  ...NO_U,
  ...more,
});

/** Opens with 1000 L of cider; 200 L more are produced. */
const entries = (listed: readonly FlowLine[], differences: readonly DifferenceRow[] = []): Entries => ({
  listed,
  differences,
  period: { timeZone: 'Pacific/Auckland' } as ReportInput['period'],
  opening: { byCategory: new Map([['suspended/cider', figure(1000)]]) } as unknown as ReportInput['opening'],
  flows: [
    flow('produced', 'cider', '200'),
    flow('released', 'cider', '-50'),
    flow('earlier-period', 'cider', '500'),
    flow('produced', 'beer', '77'),
    flow('produced', null, '277'),
  ],
});

const summed = (input: Entries, ...rules: Rule[]) =>
  chargeableGroups(input, rules).map(({ rule, category, lost, allowanceBase, allowance, chargeable, shares }) => [
    rule.line,
    category,
    ...[lost, allowanceBase, allowance, chargeable].map(Number),
    shares.map(Number),
  ]);

const HALF_PER_CENT: Rule = { line: 'process-loss', allowance: { value: 0.5, unit: '%' } };

test('beyond the allowance losses are chargeable, shared out in proportion; the last takes the rest', () => {
  // Handled: 1000 + 200; half a per cent of it is 6 L. Lost 4 + 5 L, so 3 L are chargeable: 3 × 4/9 and the rest.
  const input = entries([loss('a', '-4'), loss('b', '-5')]);
  expect(summed(input, HALF_PER_CENT)).toEqual([['process-loss', 'cider', 9, 1200, 6, 3, [1.333333, 1.666667]]]);
});

test('up to the allowance nothing is chargeable', () => {
  expect(summed(entries([loss('a', '-6')]), HALF_PER_CENT)).toEqual([['process-loss', 'cider', 6, 1200, 6, 0, [0]]]);
  expect(summed(entries([loss('a', '-5')]), HALF_PER_CENT)).toEqual([['process-loss', 'cider', 5, 1200, 6, 0, [0]]]);
  expect(summed(entries([loss('a', '-6.000001')]), HALF_PER_CENT)[0].at(-2)).toBe(0.000001);
});

test('without an allowance all of it is chargeable', () => {
  expect(summed(entries([loss('a', '-4')]), { line: 'process-loss' })).toEqual([
    ['process-loss', 'cider', 4, 1200, 0, 4, [4]],
  ]);
});

test('corrections of earlier periods do not raise the allowance, nor do flows of other categories or outflows', () => {
  const input = entries([loss('a', '-9')]);
  const [group] = chargeableGroups(input, [HALF_PER_CENT]);
  expect(group.allowanceBase.toFixed()).toBe('1200');
  const without = { ...input, flows: input.flows.filter(({ kind }) => kind !== 'earlier-period') };
  expect(summed(without, HALF_PER_CENT)).toEqual(summed(input, HALF_PER_CENT));
});

test('a category that opened with nothing has what came in', () => {
  const input = entries([loss('a', '-1', { category: 'beer' })]);
  expect(summed(input, HALF_PER_CENT)).toEqual([['process-loss', 'beer', 1, 77, 0.385, 0.615, [0.615]]]);
});

test('goods on which duty was paid are not charged again, neither lost nor missing', () => {
  const input = entries(
    [loss('a', '-4'), loss('b', '-100', { dutyStatus: 'paid' })],
    [difference('c', '-2'), difference('d', '-100', { dutyStatus: 'paid' })],
  );
  expect(summed(input, { line: 'process-loss' }, { line: 'stock-difference' })).toEqual([
    ['process-loss', 'cider', 4, 1200, 0, 4, [4]],
    ['stock-difference', 'cider', 2, 1200, 0, 2, [2]],
  ]);
});

test('what was reversed is not lost; a reversal in part leaves the rest', () => {
  const reversal = (of: string, litres: string) => loss(`not-${of}`, litres, { reverses: of });
  const input = entries([loss('a', '-4'), loss('b', '-5'), reversal('a', '4'), reversal('b', '2')]);
  const [group] = chargeableGroups(input, [{ line: 'process-loss' }]);
  expect(group.losses.map(({ operationId, lost }) => [operationId, lost.litres.toNumber()])).toEqual([['b', 3]]);
});

test('lines that are listed and are no loss are not counted, nor a line without a rule', () => {
  const input = entries([
    loss('a', '-4', { kind: 'produced' }),
    loss('b', '-4', { kind: 'earlier-period' }),
    loss('c', '-4', { kind: 'theft' }),
  ]);
  expect(summed(input, { line: 'process-loss' }, { line: 'transit-loss' })).toEqual([]);
  expect(summed(input, { line: 'theft' })).toHaveLength(1);
});

test('one event on two lines, categories or packed lots counts as so many losses', () => {
  const input = entries([
    loss('a', '-1'),
    loss('a', '-2', { category: 'beer' }),
    loss('a', '-3', { packagedLotId: 'p' }),
    loss('a', '-4', { compositionId: 'd' }),
  ]);
  const groups = chargeableGroups(input, [{ line: 'process-loss' }]);
  expect(groups.map(({ category, losses }) => [category, losses.map(({ lost }) => lost.litres.toNumber())])).toEqual([
    ['cider', [1, 3, 4]],
    ['beer', [2]],
  ]);
});

test('what no reason of the rule frees, also with a text of one’s own; a surplus never counts against a shortage', () => {
  const input = entries(
    [],
    [difference('a', '-2', { reasonCode: 'breakage' }), difference('b', '-1'), difference('c', '3')],
  );
  expect(summed(input, { line: 'stock-difference' })).toEqual([['stock-difference', 'cider', 3, 1200, 0, 3, [2, 1]]]);
  expect(summed(input, { line: 'stock-difference', freeReasons: ['breakage'] })).toEqual([
    ['stock-difference', 'cider', 1, 1200, 0, 1, [1]],
  ]);
  expect(summed(input, { line: 'stock-difference', freeReasons: [] })[0]).toContain(3);
  const text = entries([], [difference('a', '-2', { reasonCode: 'other' }), difference('b', '-1')]);
  expect(summed(text, { line: 'stock-difference', freeReasons: ['breakage'] })[0]).toContain(3);
  expect(summed(text, { line: 'stock-difference', freeReasons: ['breakage', 'other'] })[0]).toContain(1);
});

test('of losses too, only what no reason of the rule frees', () => {
  const input = entries([loss('a', '-2', { reasonCode: 'spill' }), loss('b', '-1')]);
  expect(summed(input, { line: 'process-loss', freeReasons: ['spill'] })[0]).toEqual([
    'process-loss',
    'cider',
    1,
    1200,
    0,
    1,
    [1],
  ]);
});

test('shares that do not come out add up to the whole', () => {
  // 7 L lost in three, 6 L free: a third of a litre each does not end, so the last takes the rest.
  const input = entries([loss('a', '-2.333333'), loss('b', '-2.333333'), loss('c', '-2.333334')]);
  const [{ shares }] = chargeableGroups(input, [HALF_PER_CENT]);
  expect(shares.map(String)).toEqual(['0.333333', '0.333333', '0.333334']);
});

test('the day of a loss is the local one', () => {
  const input = entries([loss('a', '-1', { occurredAt: new Date('2026-03-31T11:00:00Z') })], [difference('b', '-1')]);
  const [lost, missing] = chargeableGroups(input, [{ line: 'process-loss' }, { line: 'stock-difference' }]);
  // Auckland is at +13 until 5 April 2026, IANA tz database.
  expect([lost.losses[0].day, missing.losses[0].day]).toEqual(['2026-04-01', '2026-03-21']);
});

test('pure alcohol of a share at the strength of the books, six places; all of it for all the litres', () => {
  const [{ losses }] = chargeableGroups(entries([loss('a', '-3', { fermented: '-0.100001', added: '-0.100000' })]), [
    { line: 'process-loss' },
  ]);
  const [each] = losses;
  expect(alcoholOf(each, new Exact(3)).toFixed()).toBe('0.200001');
  expect(alcoholOf(each, new Exact(1)).toFixed()).toBe('0.066667');
});
