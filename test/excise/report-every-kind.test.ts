import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { Operation } from '../../src/ledger/operations/operations.dto.js';
import { REPORT_LINES } from '../../src/ledger/figures/report-lines.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import type { Noted } from './every-kind.js';
import { everyKind } from './every-kind.js';

let service: TestService;
let floor: Floor;
let noted: Noted;
let report: PeriodReport;
let operations: Operation[];

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-03-31T21:00:00Z')) });
  floor = await Floor.open(service, [
    ['2026-02-01', '2026-03-01'],
    ['2026-03-01', '2026-04-01'],
  ]);
  noted = await everyKind(floor);
  const [, { id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  report = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  const listed = (await floor.get(`/v1/operations?periodId=${id}&limit=200`)).items as { id: string }[];
  operations = [];
  for (const each of listed) {
    operations.push((await floor.get(`/v1/operations/${each.id}`)) as unknown as Operation);
  }
}, 60_000);
afterAll(() => service.stop());

// The normal quantile at 97.5 %, which JCGM 100 Table G.2 prints as 1.960.
const k = 1.959964;
const rss = (...parts: number[]) => Math.hypot(...parts);

/** The month by hand: litres, litres of pure alcohol fermented and added, by line. */
function byHand(): Record<string, [litres: number, fermented: number, added: number]> {
  // Tank of cider: 300 L at 5 % are 15 L of pure alcohol; 30 L of water and what the volume gained on mixing make it weaker.
  const tank = 300 + 30 + noted.diluted;
  const cider = (litres: number): [number, number, number] => [-litres, (-litres * 15) / tank, 0];
  // Wash: 198 L at 6 % are 11.88 L; 2 L of aroma at 60 % bring 1.2 L that were added.
  const wash = 198 + 2 + noted.flavoured;
  const trub: [number, number, number] = [-1.5, (-1.5 * 11.88) / wash, (-1.5 * 1.2) / wash];
  const beer = (bottles: number): [number, number, number] => [-bottles * 0.33, -bottles * 0.33 * 0.046, 0];
  const sum = (...rows: [number, number, number][]): [number, number, number] =>
    rows.reduce<[number, number, number]>((a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]], [0, 0, 0]);
  return {
    receipts: [10, 0, 6],
    // 40 bottles of 0.5 L at 4 %, 60 L at 7 %, 24 bottles of 0.5 L at 5 %.
    'received-suspended': [20, 0.8, 0],
    imported: [60, 4.2, 0],
    'received-duty-paid': [12, 0.6, 0],
    // 200 L were charged; 198 L of them left for what is finished.
    'production-in-process': [200 - 198, 0, 0],
    // 50 L × 6 g of sucrose: 300 g × 4 × 46.069 / 342.297 = 161.503 g of ethanol, over 789.239 g/L.
    fermentation: [0, (300 * 4 * 46.069) / 342.297 / 789.239, 0],
    'fermentation-volume-change': [198 - 200, 0, 0],
    produced: [198, 11.88, 0],
    'liquid-added': [30, 0, 0],
    'mixing-volume-change': [noted.diluted + noted.flavoured + noted.blended, 0, 0],
    // 100 bottles with 2 mL too much in each.
    'fill-difference': cider(0.2),
    'yeast-and-trub': sum(cider(2), trub),
    evaporation: cider(0.5),
    released: beer(300),
    'dispatched-suspended': beer(50),
    exported: beer(100),
    returned: beer(-7),
    samples: beer(2),
    'own-use': beer(6),
    // An ordinary loss and what the filter kept.
    'process-loss': sum(cider(1), cider(0.8)),
    // The run, the keg that went into 39 half-litres, and ten bottles of beer.
    'packaging-loss': sum(cider(0.5), cider(0.5), beer(10)),
    'accidental-loss': beer(20),
    theft: beer(4),
    'transit-loss': beer(3),
    destroyed: beer(5),
    // 1000 less 10 in February, less 500 and 7 back: 497 should be there, and 494 are.
    'stock-shortage': beer(3),
    // February: ten were entered, twelve had gone.
    'earlier-period': beer(2),
  };
}

test('every line of the month is what it is by hand', () => {
  const hand = byHand();
  expect(report.lines.map(({ line }) => line)).toEqual([...REPORT_LINES]);
  for (const { line, litres, fermented, added } of report.lines) {
    const [l, f, a] = hand[line] ?? [0, 0, 0];
    const words = (value: number) => `${line} ${value.toFixed(6)}`;
    expect([words(litres.value), words(added.value)]).toEqual([words(l), words(a)]);
    // A draw takes its alcohol to six places; three draws in a line may be off by half of the last one each.
    expect(Math.abs(fermented.value - f)).toBeLessThanOrEqual(1.5e-6);
  }
  const sum = (of: (row: [number, number, number]) => number) =>
    Object.values(hand).reduce((total, row) => total + of(row), 0);
  // 300 L of cider, 990 bottles of beer, and what March did to them.
  expect(report.opening.litres.value).toBeCloseTo(300 + 326.7, 9);
  expect(report.closing.litres.value).toBeCloseTo(300 + 326.7 + sum(([l]) => l), 6);
  expect(report.closing.fermented.value).toBeCloseTo(15 + 326.7 * 0.046 + sum(([, f]) => f), 5);
  expect(report.closing.added.value).toBeCloseTo(
    sum(([, , a]) => a),
    5,
  );
  expect(report.reconciliation.balances).toBe(true);
});

test('its uncertainty by the rules of the budgets', () => {
  const line = (name: string) => report.lines.find((each) => each.line === name)?.expandedUncertainty;
  // Strengths: 0.1 % vol of 300 L of cider and of 330 L of beer; what is counted or measured out takes its part of that.
  const beer = (litres: number) => k * litres * 0.001;
  const cider = (litres: number) => (k * 0.3 * litres) / (330 + noted.diluted);
  const pure: Record<string, number> = {
    released: beer(99),
    'dispatched-suspended': beer(16.5),
    exported: beer(33),
    samples: beer(0.66),
    'own-use': beer(1.98),
    'accidental-loss': beer(6.6),
    theft: beer(1.32),
    destroyed: beer(1.65),
    'stock-shortage': beer(0.99),
    'earlier-period': beer(0.66),
    returned: beer(2.31),
    'fill-difference': cider(0.2),
    evaporation: cider(0.5),
    'process-loss': cider(1.8),
    // Beer and cider have origins of their own; the two losses of cider share theirs.
    'packaging-loss': rss(beer(3.3), cider(1)),
    // A bought strength without its own u: ± 0.3 % vol, rectangular; its 10 L by a meter of ± 0.5 %, at 60 %.
    receipts: rss((k * 10 * 0.003) / Math.sqrt(3), (k * 10 * 0.005 * 0.6) / Math.sqrt(3)),
    'received-suspended': (k * 20 * 0.003) / Math.sqrt(3),
    // Bulk also by its volume: ± 1 %, rectangular, at 7 %.
    imported: rss((k * 60 * 0.003) / Math.sqrt(3), (k * 60 * 0.01 * 0.07) / Math.sqrt(3)),
  };
  for (const [name, u] of Object.entries(pure)) {
    expect([name, Math.abs((line(name)?.litresOfPureAlcohol.value ?? 0) - u) <= 2e-6]).toEqual([name, true]);
  }
  // Water without its own u: ± 0.5 %, rectangular.
  expect(line('liquid-added')?.litres.value).toBeCloseTo((k * 30 * 0.005) / Math.sqrt(3), 6);
  // The gauge takes the place of the charge's volume: what is in process is unsure by both.
  expect(line('fermentation-volume-change')?.litres.value).toBe(line('production-in-process')?.litres.value);
});

test('every line, and its uncertainty by origin, is the sum of what each operation posted', () => {
  const sums = new Map<string, { litres: number; lpa: number; origins: Map<string, [number, number]> }>();
  for (const { postings } of operations) {
    for (const each of postings.filter(({ side }) => side === 'nominal')) {
      // The one stock-take of the month found bottles missing.
      const line = each.kind === 'stock-difference' ? 'stock-shortage' : each.kind;
      const sum = sums.get(line) ?? { litres: 0, lpa: 0, origins: new Map<string, [number, number]>() };
      sum.litres -= each.litres.value;
      sum.lpa -= each.litresOfPureAlcohol.value;
      for (const { origin, litres, litresOfPureAlcohol } of each.components ?? []) {
        const [l, a] = sum.origins.get(origin) ?? [0, 0];
        sum.origins.set(origin, [l + litres.value, a + litresOfPureAlcohol.value]);
      }
      sums.set(line, sum);
    }
  }
  for (const each of report.lines) {
    const sum = sums.get(each.line) ?? { litres: 0, lpa: 0, origins: new Map<string, [number, number]>() };
    const origins = [...sum.origins.values()];
    expect(each.litres.value).toBeCloseTo(sum.litres, 9);
    expect(each.litresOfPureAlcohol.value).toBeCloseTo(sum.lpa, 9);
    expect(each.expandedUncertainty.litres.value).toBeCloseTo(k * rss(...origins.map(([l]) => l)), 6);
    expect(each.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(k * rss(...origins.map(([, a]) => a)), 6);
  }
});

test('each kind of work ties, each stage and category meets', () => {
  expect(report.ties.map(({ name }) => name)).toEqual([
    'addition',
    'blend',
    'dilution',
    'packaging',
    'relabelling',
    'repacking',
    'split',
    'transfer',
  ]);
  expect(report.ties.filter(({ balances }) => !balances)).toEqual([]);
  expect(report.stages.filter(({ balances }) => !balances)).toEqual([]);
  expect(report.categories.filter(({ balances }) => !balances)).toEqual([]);
  // What only moved between categories or became part of another is nothing in all, and something in each.
  const moved = (category: string, line: string) =>
    report.categories.find((each) => each.category === category)?.lines.find((each) => each.line === line)?.litres
      .value;
  expect([moved('cider', 'category-moves'), moved('mixed-drink', 'category-moves')]).toEqual([expect.any(Number), 20]);
  expect([moved('materials', 'used-as-material'), moved('sugar-ferment', 'used-as-material')]).toEqual([-2, 2]);
});
