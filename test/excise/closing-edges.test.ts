import type { ClosingCheck } from '../../src/excise/closing/closing.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { EDGE_CASES } from '../support/edges.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

// One clock for all cases: it does not run backwards, so the cases stand in the order of their ends.
const cases = [...EDGE_CASES].sort((one, other) => one.endsAt.localeCompare(other.endsAt));

let service: TestService;
const clock = new SteppableClock(new Date('2018-10-15T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

const setClock = (at: string, milliseconds = 0) => clock.set(new Date(Date.parse(at) + milliseconds));
const periodsOf = async (floor: Floor) => (await floor.get('/v1/periods')).items as { id: string }[];

test.each(cases)('a period can be closed from its end on: $name ($timeZone)', async ({ days, timeZone, endsAt }) => {
  setClock(endsAt, -3_600_000);
  const floors = [0, 1].map(() => Floor.open(service, [[days[1], days[2]]], timeZone));
  const [used, nil] = await Promise.all(floors);
  const [[{ id }], [{ id: nilId }]] = [await periodsOf(used), await periodsOf(nil)];
  const codes = async () => {
    const { findings, ready } = (await used.get(`/v1/periods/${id}/closing-check`)) as unknown as ClosingCheck;
    return [ready, findings.filter(({ blocks }) => blocks).map(({ code }) => code)];
  };
  setClock(endsAt, -1);
  expect(await codes()).toEqual([false, ['not-ended']]);
  const early = await service.call('post', `/v1/periods/${id}/closing`, { key: used.key, body: {} });
  expect(problemOf(early)).toMatchObject({ code: 'period-not-ended', endsAt });
  const earlyNil = await service.call('post', `/v1/periods/${nilId}/nil-closings`, { key: nil.key, body: {} });
  expect(problemOf(earlyNil).code).toBe('period-not-ended');
  setClock(endsAt);
  expect(await codes()).toEqual([true, []]);
  await used.post(`/v1/periods/${id}/closing`, {});
  await nil.post(`/v1/periods/${nilId}/nil-closings`, {});
});

test('an entry is late when more than a day has passed since the event, not at a day', async () => {
  const happened = '2026-04-10T12:00:00.000Z';
  setClock('2026-04-09T08:00:00Z');
  const floor = await Floor.open(service, [['2026-04-01', '2026-05-01']]);
  const bottles = { mark: 'B', category: 'beer', count: 10, nominalLitres: 0.5, declaredPercent: 4 };
  const { packaged } = await openStock(floor, '2026-04-09T07:00:00Z', [], [{ ...bottles, percent: 4, strengthU: 0.1 }]);
  const release = () =>
    floor.post('/v1/movements', { kind: 'release', packagedLotId: packaged[0], count: 1, occurredAt: happened });
  setClock(happened, 86_400_000);
  await release();
  setClock(happened, 86_400_001);
  const late = await release();
  setClock('2026-05-02T08:00:00Z');
  const [{ id }] = await periodsOf(floor);
  const { lateEntries } = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  expect(lateEntries).toMatchObject({
    afterDays: 1,
    entries: [{ operationId: late.id, daysLate: 1, recordedAt: '2026-04-11T12:00:00.001Z' }],
  });
  expect(lateEntries.entries).toHaveLength(1);
});
