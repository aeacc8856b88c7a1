import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

async function bottled() {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const { packaged } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.1 }],
  );
  const [march, april] = ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
  const report = async (id: string) => (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  const moved = (kind: string, count: number, more: object = {}) => ({
    kind,
    packagedLotId: packaged[0],
    count,
    occurredAt: '2026-03-10T12:00:00Z',
    ...more,
  });
  return { floor, march, april, report, moved };
}

const lineOf = (report: PeriodReport, name: string): number | undefined =>
  report.lines.find(({ line }) => line === name)?.litres.value;

test('what was reversed in the open period is not released; a loss and its reversal are both listed', async () => {
  const { floor, march, report, moved } = await bottled();
  const release = await floor.post('/v1/movements', moved('release', 10));
  const spill = await floor.post('/v1/movements', moved('accidental-loss', 2, { reasonCode: 'breakage' }));
  await floor.post(`/v1/operations/${String(release.id)}/reversal`, { reasonCode: 'entered-twice' });
  await floor.post(`/v1/operations/${String(spill.id)}/reversal`, { reasonCode: 'did-not-happen' });
  const made = await report(march);
  expect([lineOf(made, 'released'), lineOf(made, 'accidental-loss'), made.closing.litres.value]).toEqual([0, 0, 50]);
  expect(made.duty).toMatchObject({ releases: [], litres: { value: 0 }, tie: { balances: true } });
  expect(made.losses.map(({ litres, reasonCode, reverses }) => [litres.value, reasonCode, reverses])).toEqual([
    [-1, 'breakage', undefined],
    [1, 'did-not-happen', spill.id],
  ]);
  expect(await floor.get(`/v1/movements/${String(release.id)}`)).toMatchObject({ reversed: true });
});

test('a movement put right in one call, while the period is open', async () => {
  const { floor, march, report, moved } = await bottled();
  const wrong = await floor.post('/v1/movements', moved('release', 60));
  const corrects = { operationId: wrong.id, reasonCode: 'typing-error' };
  await floor.post('/v1/movements', moved('release', 90, { corrects }));
  const made = await report(march);
  expect([lineOf(made, 'released'), made.closing.litres.value]).toEqual([-45, 5]);
  expect(made.duty.releases.map(({ count }) => count)).toEqual([90]);
  expect(made.duty.tie.balances).toBe(true);
});

test('a mistake of a closed month stands in the next one, on the line of earlier periods, and the reconciliation still meet', async () => {
  const { floor, march, april, report, moved } = await bottled();
  const wrong = await floor.post('/v1/movements', moved('release', 10));
  await floor.post(`/v1/periods/${march}/closing`, {});
  const frozen = await report(march);
  const corrects = { operationId: wrong.id, reasonCode: 'wrong-count' };
  const right = await floor.post(
    '/v1/movements',
    moved('release', 8, { corrects, occurredAt: '2026-04-01T12:00:00Z' }),
  );
  const made = await report(april);
  expect([lineOf(made, 'released'), lineOf(made, 'earlier-period')]).toEqual([0, 1]);
  expect(made.corrections.map((each) => [each.litres.value, each.reverses, each.earlierPeriodId])).toEqual([
    [5, wrong.id, march],
    [-4, undefined, march],
  ]);
  expect(made.duty).toMatchObject({ releases: [], tie: { balances: true } });
  expect(made.reconciliation.balances).toBe(true);
  expect(made.opening.litres).toEqual(frozen.closing.litres);
  expect(made.closing.litres.value).toBe(46);
  expect(await report(march)).toEqual(frozen);
  expect(await floor.get(`/v1/movements/${String(right.id)}`)).toMatchObject({ earlierPeriodId: march });
  const again = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: moved('release', 8, { corrects, occurredAt: '2026-04-01T12:00:00Z' }),
  });
  expect(problemOf(again).code).toBe('conflict');
});

test('what corrects an entry of a closed month comes after its reversal; where it does not, the refusal says so', async () => {
  const { floor, march, moved } = await bottled();
  const wrong = await floor.post('/v1/movements', moved('release', 90));
  await floor.post(`/v1/periods/${march}/closing`, {});
  const corrects = { operationId: wrong.id, reasonCode: 'typing-error' };
  const body = moved('release', 60, { corrects, occurredAt: '2026-04-01T12:00:00Z' });
  const before = await service.rowCounts();
  const refused = await service.call('post', '/v1/movements', { key: floor.key, body });
  expect(problemOf(refused)).toMatchObject({ code: 'insufficient-stock', account: expect.any(String) as string });
  expect(problemOf(refused).detail).toContain('leave occurredAt out');
  expect(await service.rowCounts()).toEqual(before);
  const right = await floor.post('/v1/movements', moved('release', 60, { corrects, occurredAt: undefined }));
  expect(right).toMatchObject({ count: 60, occurredAt: '2026-04-02T08:00:00.000Z' });
});
