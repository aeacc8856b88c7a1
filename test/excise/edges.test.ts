import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { EdgeCase } from '../support/edges.js';
import { EDGE_CASES, edgeMilliseconds } from '../support/edges.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-06-15T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;

const COUNTED = { category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.1 };

/** Three periods in a row; 100 bottles of half a litre at 4 %, and as many in another lot, from the first day on. */
async function threePeriods({ days, timeZone }: EdgeCase) {
  const spans = [0, 1, 2].map((index): [string, string] => [days[index], days[index + 1]]);
  const floor = await Floor.open(service, spans, timeZone);
  const { packaged, lots } = await openStock(
    floor,
    `${days[0]}T12:00:00Z`,
    [],
    [
      { mark: 'SOLD', ...COUNTED },
      { mark: 'MISSING', ...COUNTED },
    ],
  );
  const periods = ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
  return { floor, periods, sold: packaged[0], missing: packaged[1], lotId: lots[0] };
}

const reportOf = async (floor: Floor, periodId: string) =>
  (await floor.get(`/v1/periods/${periodId}/report`)) as unknown as PeriodReport;

describe.each(EDGE_CASES)('$name ($timeZone)', (edges) => {
  const moments = edgeMilliseconds(edges);
  let made: Awaited<ReturnType<typeof threePeriods>>;
  beforeAll(async () => {
    made = await threePeriods(edges);
  });

  test('the edges are local midnights', async () => {
    const { items } = (await made.floor.get('/v1/periods')) as { items: Json[] };
    expect(items[1]).toMatchObject({ startsAt: edges.startsAt, endsAt: edges.endsAt });
  });

  test('readings: a calibration is valid from its local day to the end of its last one', async () => {
    const { floor, lotId } = made;
    const instrument = await floor.post('/v1/instruments', { name: 'H1', kind: 'hydrometer', scale: 'sg-20-20' });
    const lastDay = new Date(Date.parse(`${edges.days[2]}T12:00:00Z`) - 86_400_000).toISOString().slice(0, 10);
    await floor.post(`/v1/instruments/${String(instrument.id)}/calibrations`, {
      performedOn: edges.days[1],
      validUntil: lastDay,
      regions: [{ from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0002 }],
    });
    for (const { name, at, period } of moments) {
      const reading = await floor.post(`/v1/lots/${lotId}/readings`, {
        kind: 'gravity',
        gravity: { value: 1.01, scale: 'sg-20-20' },
        sampleTemperature: { value: 20, unit: 'Cel' },
        degassed: true,
        instrumentId: instrument.id,
        takenAt: at,
      });
      expect([name, reading.takenAt]).toEqual([name, at]);
      const flags = (reading.flags as { code: string }[]).map(({ code }) => code);
      expect([name, flags]).toEqual([name, [['no-calibration'], [], ['calibration-lapsed']][period]]);
    }
  });

  test('movements, stock-takes and reports: every entry is of one period', async () => {
    const { floor, periods, sold, missing } = made;
    const releases: string[][] = [[], [], []];
    for (const [index, { name, at, period }] of moments.entries()) {
      const release = { kind: 'release', packagedLotId: sold, count: 1, occurredAt: at };
      const other = edges.days[period === 2 ? 1 : period + 1];
      const refused = await service.call('post', '/v1/movements', {
        key: floor.key,
        body: { ...release, dutyDate: other },
      });
      expect([name, problemOf(refused).errors?.[0].rule]).toEqual([name, 'in-period']);
      const { id } = await floor.post('/v1/movements', { ...release, dutyDate: edges.days[period] });
      releases[period].push(String(id));
      // What was released at this very moment is gone when it is counted; of the other lot one more is missing each time.
      const gone = index + 1;
      const { counts } = (await floor.post('/v1/stock-takes', {
        premisesId: floor.premisesId,
        occurredAt: at,
        counts: [
          { packagedLotId: sold, count: 100 - gone },
          { packagedLotId: missing, count: 100 - gone, reasonCode: 'breakage' },
        ],
      })) as { counts: { difference: { value: number } }[] };
      expect([name, counts.map(({ difference }) => difference.value)]).toEqual([name, [0, -0.5]]);
    }
    for (const [period, id] of periods.entries()) {
      const page = await floor.get(`/v1/operations?periodId=${id}&line=released&limit=200`);
      const ids = (page.items as { id: string }[]).map((each) => each.id);
      expect([period, ids]).toEqual([period, releases[period]]);
    }
    // By hand: 100 L in all; one, three and two entries of half a litre each of the two lots.
    const closings = [99, 96, 94];
    for (const [period, id] of periods.entries()) {
      const report = await reportOf(floor, id);
      const opening = period === 0 ? 100 : closings[period - 1];
      const entries = releases[period].length;
      expect([period, report.opening.litres.value, report.closing.litres.value]).toEqual([
        period,
        opening,
        closings[period],
      ]);
      expect(report.reconciliation.balances).toBe(true);
      const line = (name: string) => report.lines.find((each) => each.line === name)?.litres.value;
      expect([line('released'), line('stock-shortage')]).toEqual([-0.5 * entries, -0.5 * entries]);
      expect(report.stockDifferences).toHaveLength(entries);
      const last = moments.filter((each) => each.period === period).at(-1);
      const items = report.stock.items.map(({ litres, lastCountedAt }) => [litres.value, lastCountedAt]);
      expect(items).toEqual(Array(2).fill([closings[period] / 2, last?.at]));
      expect(report.duty.releases).toHaveLength(entries);
    }
    await expectBooksHold(service, floor.producerId, floor.key);
  });
});

test('outside of all periods: a movement a millisecond before the first and at the end of the last is refused', async () => {
  const [edges] = EDGE_CASES;
  const { floor, sold } = await threePeriods({
    ...edges,
    days: ['2026-03-01', '2026-04-01', '2026-05-01', '2026-06-01'],
  });
  const release = (occurredAt: string) =>
    service.call('post', '/v1/movements', {
      key: floor.key,
      body: { kind: 'release', packagedLotId: sold, count: 1, occurredAt },
    });
  // London: 1 March is at 00:00 UTC, 1 June at 23:00 UTC of the day before.
  for (const at of ['2026-02-28T23:59:59.999Z', '2026-05-31T23:00:00.000Z']) {
    const refused = await release(at);
    expect([at, problemOf(refused).code]).toEqual([at, 'period-not-open']);
  }
  expect((await release('2026-05-31T22:59:59.999Z')).status).toBe(201);
});
