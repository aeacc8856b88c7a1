import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { ReportFigure } from '../../src/excise/reporting/documents/report-figures.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { everyKind } from './every-kind.js';

let service: TestService;
let report: PeriodReport;
let first: PeriodReport;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-03-31T21:00:00Z')) });
  const floor = await Floor.open(service, [
    ['2026-02-01', '2026-03-01'],
    ['2026-03-01', '2026-04-01'],
  ]);
  await everyKind(floor);
  const [{ id: february }, { id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  first = (await floor.get(`/v1/periods/${february}/report`)) as unknown as PeriodReport;
  report = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
}, 60_000);
afterAll(() => service.stop());

/** Whole millionths of a litre: exact sums. */
const micro = (litres: { value: number }): number => Math.round(litres.value * 1e6);
const sum = (figures: readonly ReportFigure[], of: 'litres' | 'litresOfPureAlcohol' = 'litres'): number =>
  figures.reduce((total, each) => total + micro(each[of]), 0);
const of = (...names: string[]) => report.figures.filter(({ figure }) => names.includes(figure));

test('the figures taken apart add up to the lines of the report', () => {
  for (const { line, litres, litresOfPureAlcohol } of report.lines) {
    const own = of(line);
    expect([line, sum(own), sum(own, 'litresOfPureAlcohol')]).toEqual([
      line,
      micro(litres),
      micro(litresOfPureAlcohol),
    ]);
  }
  expect(sum(of('stock-at-start'))).toBe(micro(report.opening.litres));
  expect(sum(of('stock-at-end'), 'litresOfPureAlcohol')).toBe(micro(report.closing.litresOfPureAlcohol));
  expect(sum(report.figures.filter(({ figure }) => /-(in|out)$/.test(figure)))).toBe(0);
});

test('the first report begins with the opening stock', () => {
  const at = (figure: string) => sum(first.figures.filter((each) => each.figure === figure));
  // 300 L of cider and 1000 bottles of 0.33 L; ten bottles were released.
  expect([at('stock-at-start'), at('opening'), at('released'), at('stock-at-end')]).toEqual([
    630_000_000, 0, -3_300_000, 626_700_000,
  ]);
  expect(at('stock-at-start')).toBe(micro(first.opening.litres));
});

test('each stage of each category goes from its start to its end', () => {
  const places = new Set(report.figures.map(({ category, stage }) => `${category}|${stage}`));
  expect([...places].sort()).toEqual(
    [
      'beer|packed',
      ...['bottling', 'cellar', 'keg', 'packed', 'racking'].map((stage) => `cider|${stage}`),
      'materials|materials',
      'mixed-drink|keg',
      'sugar-ferment|cellar',
    ].sort(),
  );
  for (const place of places) {
    const own = report.figures.filter(({ category, stage }) => `${category}|${stage}` === place);
    const end = own.filter(({ figure }) => figure === 'stock-at-end');
    const rest = own.filter(({ figure }) => figure !== 'stock-at-end');
    for (const measure of ['litres', 'litresOfPureAlcohol'] as const) {
      expect([place, measure, sum(rest, measure)]).toEqual([place, measure, sum(end, measure)]);
    }
  }
});

test('what a run took and what it filled, by hand', () => {
  const run = (stage: string, figure: string) =>
    sum(report.figures.filter((each) => each.category === 'cider' && each.stage === stage && each.figure === figure));
  // 100 bottles of 0.5 L with 2 mL too much in each, and half a litre lost; one keg of 20 L went into 39 half-litres and lost half a litre.
  expect(run('bottling', 'packed-in')).toBe(50_700_000);
  expect(run('bottling', 'packed-out')).toBe(-50_000_000);
  expect(run('bottling', 'fill-difference')).toBe(-200_000);
  expect(run('bottling', 'packaging-loss')).toBe(-500_000);
  expect(run('racking', 'packed-in')).toBe(60_000_000);
  expect(run('racking', 'packed-out')).toBe(-60_000_000);
  expect(run('keg', 'packed-in')).toBe(60_000_000);
  expect([run('keg', 'repacked-out'), run('packed', 'repacked-in')]).toEqual([-19_500_000, 19_500_000]);
  const bottles = report.figures.find((each) => each.stage === 'bottling' && each.figure === 'packed-in');
  expect([bottles?.container, bottles?.nominalVolume?.value, bottles?.direction]).toEqual(['bottle', 0.5, 'in']);
});
