import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { inventedRules, RATES } from './invented-rules.js';

// Goods that come back: half-litre bottles of 4 % vol, so 0.02 L of pure alcohol each, at 10 EUR a litre until May and 12 from June.

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-07-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const INN = 'Harbour Inn (invented)';

async function producer(treatment?: string) {
  const floor = await Floor.open(service, [
    ['2026-05-01', '2026-06-01'],
    ['2026-06-01', '2026-07-01'],
  ]);
  await floor.post('/v1/duty-rule-sets', inventedRules(RATES, 'declared', treatment));
  const bottles = (mark: string) => ({
    mark,
    category: 'beer',
    count: 500,
    nominalLitres: 0.5,
    declaredPercent: 4,
    percent: 4,
    strengthU: 0.1,
  });
  const { packaged } = await openStock(floor, '2026-05-01T08:00:00Z', [], [bottles('B-1'), bottles('B-2')]);
  const periods = ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
  const move = (kind: string, count: number, day: string, more: Record<string, unknown> = {}) => ({
    kind,
    packagedLotId: packaged[0],
    count,
    counterparty: INN,
    occurredAt: `2026-${day}T12:00:00Z`,
    ...more,
  });
  const moved = async (...facts: Parameters<typeof move>) => {
    const answer = await floor.post('/v1/movements', move(...facts));
    return answer as { id: string; returnedFrom?: { matchedBy: string; movements: { movementId: string }[] } };
  };
  const report = async (index: number) =>
    (await floor.get(`/v1/periods/${periods[index]}/report`)) as unknown as PeriodReport;
  return { floor, packaged, periods, move, moved, report };
}

test('goods that come back and go out again are charged once: the first duty is set off', async () => {
  const { floor, moved, report } = await producer('offset-period');
  const out = await moved('release', 100, '05-04');
  const back = await moved('return', 30, '05-10', { returnOf: out.id });
  expect(back.returnedFrom).toMatchObject({
    matchedBy: 'named',
    movements: [{ movementId: out.id, litres: { value: 15 } }],
  });
  expect((await floor.get(`/v1/movements/${back.id}`)).returnedFrom).toEqual(back.returnedFrom);
  await moved('release', 30, '05-20');
  const { duty, money } = await report(0);
  // 130 bottles: 2.6 L at 10; 30 of them came back: 0.6 L at 10.
  expect(duty.returned).toMatchObject({
    treatment: 'offset-period',
    goods: [
      {
        lotMark: 'B-1',
        day: '2026-05-10',
        dutyDate: '2026-05-04',
        matchedBy: 'named',
        litres: { value: 15 },
        rate: { amount: '10' },
      },
    ],
    groups: [{ quantity: '0.6', money: { amount: '6', currency: 'EUR' } }],
  });
  expect(money).toEqual([
    { currency: 'EUR', releases: '26', deficiency: '0', earlierPeriods: '0', returns: '-6', total: '20', claims: '0' },
  ]);
});

test('oldest first over a change of rate, claimed where the rules do not set it off', async () => {
  const { moved, report } = await producer();
  const may = await moved('release', 10, '05-04');
  const june = await moved('release', 10, '06-04');
  const back = await moved('return', 15, '06-10');
  expect(back.returnedFrom).toMatchObject({
    matchedBy: 'oldest-first',
    movements: [{ movementId: may.id }, { movementId: june.id }],
  });
  const { duty, money } = await report(1);
  // 10 bottles: 0.2 L at 10; 5 bottles: 0.1 L at 12. June released 10 bottles: 0.2 L at 12.
  expect(duty.returned.goods.map(({ releaseId, litres, rate }) => [releaseId, litres.value, rate?.amount])).toEqual([
    [may.id, 5, '10'],
    [june.id, 2.5, '12'],
  ]);
  expect(duty.returned.money).toEqual([{ currency: 'EUR', amount: '3.2' }]);
  expect(money).toMatchObject([{ releases: '2.4', returns: '0', total: '2.4', claims: '3.2' }]);
  // The next return takes what is left of June.
  const rest = await moved('return', 5, '06-11');
  expect(rest.returnedFrom).toMatchObject({ movements: [{ movementId: june.id, litres: { value: 2.5 } }] });
});

test('no duty is given back on what came back with its duty paid, or had gone out without duty', async () => {
  const { moved, report } = await producer('offset-day');
  await moved('export', 20, '05-04', { evidence: { document: 'EX-1' } });
  await moved('release', 20, '05-05');
  await moved('return', 20, '05-06');
  await moved('return', 5, '05-07', { dutyStatus: 'paid' });
  const { duty } = await report(0);
  expect(duty.returned).toMatchObject({ treatment: 'offset-day', goods: [], money: [] });
  await moved('return', 15, '05-08');
  expect((await report(0)).duty.returned.money).toEqual([{ currency: 'EUR', amount: '3' }]);
});

test('a return that is reversed gives nothing back, and frees what it was matched with', async () => {
  const { floor, moved, report } = await producer('offset-period');
  const out = await moved('release', 10, '05-04');
  const back = await moved('return', 10, '05-10');
  await floor.post(`/v1/operations/${back.id}/reversal`, { reasonCode: 'did-not-happen' });
  expect((await report(0)).duty.returned.goods).toEqual([]);
  const again = await moved('return', 4, '05-11', { returnOf: out.id });
  expect(again.returnedFrom).toMatchObject({ movements: [{ litres: { value: 2 } }] });
});

test('another movement than the one that sent the goods out is refused, and nothing is stored', async () => {
  const { floor, packaged, move, moved } = await producer();
  const out = await moved('release', 10, '05-04');
  await moved('release', 50, '05-05');
  const other = await moved('release', 10, '05-04', { packagedLotId: packaged[1] });
  await moved('return', 8, '05-06', { returnOf: out.id });
  const before = await service.rowCounts();
  const refusal = async (body: Record<string, unknown>) =>
    problemOf(await service.call('post', '/v1/movements', { key: floor.key, body }));
  expect(await refusal(move('return', 5, '05-10', { returnOf: other.id }))).toMatchObject({
    code: 'conflict',
    errors: [{ pointer: '/returnOf', rule: 'other-goods' }],
  });
  expect(await refusal(move('return', 3, '05-10', { returnOf: out.id }))).toMatchObject({
    code: 'conflict',
    detail: '1 L of that movement had not come back by then; 1.5 L are said to have come back.',
  });
  expect(await refusal(move('release', 3, '05-10', { returnOf: out.id }))).toMatchObject({
    code: 'validation-failed',
    errors: [{ pointer: '/returnOf', rule: 'return-only' }],
  });
  expect(await service.rowCounts()).toEqual(before);
});
