import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { manyReleases, openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { queriesOf } from '../support/queries.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

test('a report of ten thousand postings takes as many queries as one of ten, and is right', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const { packaged } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [
      {
        mark: 'B',
        category: 'beer',
        count: 6000,
        nominalLitres: 0.33,
        declaredPercent: 4.5,
        percent: 4.6,
        strengthU: 0.1,
      },
    ],
  );
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  const path = `/v1/periods/${id}/report`;
  const report = async () => (await floor.get(path)) as unknown as PeriodReport;
  await manyReleases(floor, packaged[0], new Date('2026-03-10T12:00:00Z'), 4);
  const few = await queriesOf(report);
  const consolidated = () => floor.get('/v1/consolidated-reports?startsOn=2026-03-01&endsBefore=2026-04-01');
  const fewOverAll = await queriesOf(consolidated);
  expect((await report()).duty.releases).toHaveLength(4);

  await manyReleases(floor, packaged[0], new Date('2026-03-10T12:00:00Z'), 4996);
  const started = performance.now();
  const many = await queriesOf(report);
  console.log(`report of 10,000 postings: ${many} queries, ${Math.round(performance.now() - started)} ms`);
  expect(few).toBeGreaterThan(5);
  expect(many).toBe(few);
  expect(await queriesOf(consolidated)).toBe(fewOverAll);
  const whole = await report();
  expect(whole.duty).toMatchObject({
    litres: { value: 1650 },
    litresOfPureAlcoholForDuty: { value: 74.25 },
    litresOfPureAlcoholInBooks: { value: 75.9 },
    tie: { balances: true },
  });
  expect(whole.duty.releases).toHaveLength(5000);
  expect(whole.reconciliation.balances).toBe(true);
  const closing = await floor.post(`/v1/periods/${id}/closing`, {});
  expect(closing.closing).toMatchObject({ litres: { value: 330 }, litresOfPureAlcohol: { value: 15.18 } });
}, 120_000);
