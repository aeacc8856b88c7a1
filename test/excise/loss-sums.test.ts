import type { ClosingCheck } from '../../src/excise/closing/closing.dto.js';
import { lossSumsPart } from '../../src/excise/reporting/parts/loss-sums-part.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { ReportInput } from '../../src/excise/reporting/sources/report-input.js';
import { lossSumsTable } from '../../src/excise/reporting/period/loss-sum-pages.js';
import { tableCsv } from '../../src/excise/reporting/render/csv-table.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { queriesOf } from '../support/queries.js';
import { TestService } from '../support/service.js';

const clock = new SteppableClock(new Date('2025-01-01T09:00:00Z'));
let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

const L = (value: number) => ({ value, unit: 'L' });
const monthsOf = (year: number): [string, string][] =>
  [1, 2, 3, 4, 5, 6].map((month) => [`${year}-0${month}-01`, `${year}-0${month + 1}-01`]);

interface Leaking {
  floor: Floor;
  periods: string[];
  gauge(month: number, litres: number): Promise<void>;
  close(month: number): Promise<void>;
  check(month: number): Promise<string[]>;
  report(month: number): Promise<PeriodReport>;
}

/** A tank of 1000 L, u = 2 L, which is gauged with the same u on the 20th of each month. */
async function leaking(year: number): Promise<Leaking> {
  clock.set(new Date(`${year}-01-01T09:00:00Z`));
  const floor = await Floor.open(service, monthsOf(year));
  const { lots, vessels } = await openStock(
    floor,
    `${year}-01-01T08:00:00Z`,
    [{ vessel: 'T1', category: 'cider', litres: 1000, volumeU: 2, percent: 5, strengthU: 0.1 }],
    [],
  );
  const periods = ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
  return {
    floor,
    periods,
    gauge: async (month, litres) => {
      clock.set(new Date(`${year}-0${month}-20T10:00:00Z`));
      await floor.post(`/v1/lots/${lots[0]}/gauges`, {
        vesselId: vessels[0],
        volume: L(litres),
        temperature: { value: 20, unit: 'Cel' },
        standardUncertainty: L(2),
        occurredAt: `${year}-0${month}-20T09:00:00Z`,
      });
    },
    close: async (month) => {
      clock.set(new Date(`${year}-0${month + 1}-01T09:00:00Z`));
      await floor.post(`/v1/periods/${periods[month - 1]}/closing`, {});
    },
    check: async (month) => {
      const { findings } = (await floor.get(
        `/v1/periods/${periods[month - 1]}/closing-check`,
      )) as unknown as ClosingCheck;
      return findings.map(({ code }) => code);
    },
    report: async (month) => (await floor.get(`/v1/periods/${periods[month - 1]}/report`)) as unknown as PeriodReport,
  };
}

test('a leak of 6 L a month, which no single gauge shows, crosses the limit in the fourth month and starts again', async () => {
  const { floor, gauge, close, check, report } = await leaking(2025);
  const attention = async () =>
    ((await floor.get('/v1/attention?code=losses-over-periods')).items as { detail: string; at: string }[]).map(
      ({ detail }) => detail,
    );
  for (const month of [1, 2, 3]) {
    await gauge(month, 1000 - 6 * month);
    expect([month, (await check(month)).includes('losses-over-periods')]).toEqual([month, false]);
    await close(month);
  }
  expect(await attention()).toEqual([]);
  await gauge(4, 976);
  expect(await check(4)).toContain('losses-over-periods');
  const { lossesOverPeriods, lines } = await report(4);
  // Each difference has the u of two gauges: 2√2 = 2.828 L, so z = 6/2.828 = 2.1213, beyond k = 0.5 by 1.6213; the temperature adds
  // less than a thousandth to u.
  const [series] = lossesOverPeriods.series;
  expect(series).toMatchObject({ category: 'cider', signal: 'missing' });
  expect(series.points.map(({ startsOn, litres }) => [startsOn, litres.value])).toEqual(
    monthsOf(2025)
      .slice(0, 4)
      .map(([startsOn]) => [startsOn, 6]),
  );
  series.points.forEach(({ standardised, missing, surplus }, index) => {
    expect(standardised).toBeCloseTo(2.1213, 2);
    expect(missing).toBeCloseTo(1.6213 * (index + 1), 2);
    expect(surplus).toBe(0);
  });
  // 4.86 in March is below h = 5, 6.49 in April beyond it.
  expect(series.points.map(({ signal }) => signal)).toEqual([undefined, undefined, undefined, 'missing']);
  // The handbook: 465 periods at h = 5, k = 0.5, both sides; a shift of 1.5 after 5.75 (one side: 5.75 as well, to two places).
  expect(lossesOverPeriods.periodsToFalseSignal).toBeCloseTo(465, 0);
  expect(lossesOverPeriods.periodsToFindLeak).toBeCloseTo(5.75, 1);
  // One month by itself: Φ(2.1213) = 0.98305, table of the normal distribution.
  const line = lines.find((each) => each.line === 're-measurement');
  expect(line?.judgement).toMatchObject({ measure: 'litres', uncertainty: 'stated' });
  expect(line?.judgement?.probability).toBeCloseTo(0.98305, 3);
  expect(line?.judgement?.expandedUncertainty?.value).toBeCloseTo(1.959964 * 2.828427, 2);
  await close(4);
  expect(await attention()).toEqual([expect.stringContaining('More cider is missing over the periods')]);
  await gauge(5, 970);
  const may = await report(5);
  expect(may.lossesOverPeriods.series[0].points.at(-1)?.missing).toBeCloseTo(1.6213, 2);
  expect(may.lossesOverPeriods.series[0].signal).toBeUndefined();
  await close(5);
  expect(await attention()).toEqual([]);
  expect(tableCsv(lossSumsTable(may))).toMatch(/cider,2025-04-01,6,5\.54\d*,2\.1[12]\d*,6\.48\d*,0,missing/);
});

test('a month without a gauge leaves the sums as they were; the number of queries does not grow with the closed periods', async () => {
  const { gauge, close, report, floor, periods } = await leaking(2026);
  await gauge(1, 994);
  await close(1);
  const asked = (month: number) => queriesOf(() => floor.get(`/v1/periods/${periods[month - 1]}/report`));
  const second = await asked(2);
  await close(2);
  await close(3);
  await gauge(4, 988);
  expect(await asked(4)).toBe(second);
  const { points } = (await report(4)).lossesOverPeriods.series[0];
  expect(points.map(({ standardised }) => standardised !== undefined)).toEqual([true, false, false, true]);
  expect(points[2].missing).toBe(points[0].missing);
});

const input = (more: Partial<ReportInput>, settings: Partial<ReportInput['settings']> = {}): ReportInput =>
  ({ period: { id: 'p', startsOn: '2026-03-01' }, earlierLosses: [], settings, ...more }) as ReportInput;

test('what was only counted has no uncertainty: it is listed, and leaves the sums as they are', () => {
  const row = {
    category: 'beer',
    measuredLitres: '-3.3',
    ordinaryLitres: '0',
    measuredExpanded: '0',
    allExpanded: '0',
  };
  const part = lossSumsPart(input({ unaccounted: [row] }));
  expect(part.unaccounted).toEqual([
    { category: 'beer', litres: L(3.3), judgement: { measure: 'litres', uncertainty: 'not-stated' } },
  ]);
  expect(part.series[0].points).toEqual([
    { periodId: 'p', startsOn: '2026-03-01', litres: L(3.3), missing: 0, surplus: 0 },
  ]);
});

test('losses beyond the ordinary count where the setting names these, with their own uncertainty', () => {
  const row = {
    category: 'beer',
    measuredLitres: '1',
    ordinaryLitres: '-35',
    measuredExpanded: '1.959964',
    allExpanded: '3.919928',
  };
  const flows = [{ kind: 'produced', category: 'beer', litres: '1000', fermented: '0', added: '0' }];
  const opening = { byCategory: new Map() };
  const of = (ordinaryLoss?: { value: number; unit: string }) =>
    lossSumsPart(
      input({ unaccounted: [row], flows, opening } as unknown as Partial<ReportInput>, {
        lossesOverPeriods: { referenceValue: 0.5, decisionLimit: 4, ...(ordinaryLoss && { ordinaryLoss }) },
      }),
    ).unaccounted[0];
  // Without: 1 L too much, u = 1. With 2 % of 1000 L: 35 − 20 = 15 L beyond the ordinary, 14 L missing, u = 2.
  expect([of().litres.value, of().standardised]).toEqual([-1, -1]);
  const beyond = of({ value: 2, unit: '%' });
  expect([beyond.litres.value, beyond.standardised]).toEqual([14, 7]);
});
