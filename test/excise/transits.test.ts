import type { ClosingCheck } from '../../src/excise/closing/closing.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { Transit } from '../../src/excise/movements/transits/transits.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-05-02T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;

/** 100 bottles of 0.5 L at 5 % (50 L, 2.5 L of pure alcohol) at Mill Lane; nothing at the Hill. Both have March and April. */
async function twoPremises() {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const hill = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  for (const [startsOn, endsBefore] of [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]) {
    await floor.post('/v1/periods', { premisesId: hill, startsOn, endsBefore });
  }
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  return { floor, hill, bottles: stock.packaged[0] };
}

const sent = (bottles: string, toPremisesId: string, more: Json = {}) => ({
  packagedLotId: bottles,
  count: 40,
  toPremisesId,
  document: 'DOC-7',
  occurredAt: '2026-03-30T12:00:00Z',
  ...more,
});
const send = async (floor: Floor, body: Json) => (await floor.post('/v1/transits', body)) as unknown as Transit;
const arrive = (floor: Floor, id: string, body: Json) =>
  service.call('post', `/v1/transits/${id}/arrival`, { key: floor.key, body });
const reportsOf = async (floor: Floor, premisesId: string) => {
  const periods = (await floor.get(`/v1/periods?premisesId=${premisesId}`)).items as { id: string }[];
  return Promise.all(
    periods.map(async ({ id }) => (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport),
  );
};
const lineOf = (report: PeriodReport, name: string) => {
  const each = report.lines.find(({ line }) => line === name);
  return [each?.litres.value, each?.litresOfPureAlcohol.value];
};

test('goods on the way are the sender’s; what arrives moves between the premises, what does not is the sender’s loss', async () => {
  const { floor, hill, bottles } = await twoPremises();
  const transit = await send(floor, sent(bottles, hill));
  expect(transit).toMatchObject({ state: 'on-the-way', count: 40, litres: { value: 20 } });
  const [march] = await reportsOf(floor, floor.premisesId);
  expect([march.closing.litres.value, march.reconciliation.balances]).toEqual([50, true]);
  expect(march.stock.items.map(({ kind, count }) => [kind, count])).toEqual([
    ['in-transit', 40],
    ['packaged', 60],
  ]);
  const arrived = await arrive(floor, transit.id, {
    count: 38,
    reasonCode: 'breakage',
    occurredAt: '2026-04-01T12:00:00Z',
  });
  expect(arrived.status).toBe(201);
  expect(arrived.body).toMatchObject({
    state: 'arrived',
    arrival: { count: 38, loss: { value: 1 }, reasonCode: 'breakage' },
  });
  expect(await floor.get(`/v1/transits/${transit.id}`)).toEqual(arrived.body);
  const [, here] = await reportsOf(floor, floor.premisesId);
  const [, there] = await reportsOf(floor, hill);
  expect(lineOf(here, 'premises-moves')).toEqual([-19, -0.95]);
  expect(lineOf(here, 'transit-loss')).toEqual([-1, -0.05]);
  expect(lineOf(there, 'premises-moves')).toEqual([19, 0.95]);
  expect([here.closing.litres.value, there.closing.litres.value]).toEqual([30, 19]);
  expect([here.reconciliation.balances, there.reconciliation.balances]).toEqual([true, true]);
  expect(here.losses).toMatchObject([{ line: 'transit-loss', reasonCode: 'breakage' }]);
  const ties = (report: PeriodReport) =>
    report.ties.map(({ name, inputs, outputs, balances }) => [
      name,
      ...[inputs, outputs].map((side) =>
        side.map((each) => [each.name, each.litres.value, each.litresOfPureAlcohol.value]),
      ),
      balances,
    ]);
  expect(ties(march)).toEqual([
    ['transit', [['from packed', 20, 1]], [['to packed', 20, 1]], true],
    ['sent to Hill', [['sent', 20, 1]], [['in transit at the end', 20, 1]], true],
  ]);
  expect(ties(here)).toEqual([
    [
      'sent to Hill',
      [['in transit at the start', 20, 1]],
      [
        ['received by Hill', 19, 0.95],
        ['lost in transit', 1, 0.05],
      ],
      true,
    ],
  ]);
  expect(ties(there)).toEqual([
    [
      'received from Mill Lane',
      [
        ['in transit at the start', 20, 1],
        ['lost in transit', -1, -0.05],
      ],
      [['received', 19, 0.95]],
      true,
    ],
  ]);
  for (const report of [here, there]) {
    const link = report.lines.find(({ line }) => line === 'premises-moves')?.operations ?? '';
    expect(((await floor.get(link)).items as { id: string }[]).map(({ id }) => id)).toEqual([
      (arrived.body as Transit).arrival?.operationId,
    ]);
  }
  const released = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: bottles,
    premisesId: hill,
    count: 8,
    occurredAt: '2026-04-02T12:00:00Z',
  });
  expect(released).toMatchObject({ premisesId: hill, litresOfPureAlcohol: { value: 0.2 } });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what never arrives is in the list and in the closing check; all of it may be lost', async () => {
  const { floor, hill, bottles } = await twoPremises();
  const first = await send(floor, sent(bottles, hill));
  const second = await send(floor, sent(bottles, hill, { count: 10 }));
  const states = async (state: string) =>
    ((await floor.get(`/v1/transits?state=${state}`)).items as Transit[]).map(({ id }) => id);
  expect(await states('on-the-way')).toEqual([first.id, second.id]);
  const [march] = (await floor.get(`/v1/periods?premisesId=${floor.premisesId}`)).items as { id: string }[];
  const check = (await floor.get(`/v1/periods/${march.id}/closing-check`)) as unknown as ClosingCheck;
  expect(check.findings.filter(({ code }) => code === 'consignment-not-arrived')).toHaveLength(2);
  await floor.post(`/v1/transits/${first.id}/arrival`, {
    count: 0,
    reasonCode: 'theft',
    evidence: { report: 'REPORT-1' },
    occurredAt: '2026-03-31T12:00:00Z',
  });
  await floor.post(`/v1/operations/${second.id}/reversal`, { reasonCode: 'did-not-happen' });
  expect([await states('on-the-way'), await states('arrived'), await states('reversed')]).toEqual([
    [],
    [first.id],
    [second.id],
  ]);
  const [report] = await reportsOf(floor, floor.premisesId);
  expect(lineOf(report, 'transit-loss')).toEqual([-20, -1]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('an arrival can be reversed and entered again; what has arrived cannot be unsent', async () => {
  const { floor, hill, bottles } = await twoPremises();
  const transit = await send(floor, sent(bottles, hill));
  const at = { occurredAt: '2026-03-31T12:00:00Z' };
  const made = (await arrive(floor, transit.id, { count: 40, ...at })).body as Transit;
  const unsent = await service.call('post', `/v1/operations/${transit.id}/reversal`, {
    key: floor.key,
    body: { reasonCode: 'did-not-happen' },
  });
  expect([problemOf(unsent).code, unsent.body.operationsInTheWay]).toEqual([
    'insufficient-stock',
    [made.arrival?.operationId],
  ]);
  await floor.post(`/v1/operations/${made.arrival?.operationId ?? ''}/reversal`, { reasonCode: 'wrong-count' });
  expect((await floor.get(`/v1/transits/${transit.id}`)).state).toBe('on-the-way');
  const again = await arrive(floor, transit.id, { count: 39, reasonCode: 'breakage', ...at });
  expect(again.body).toMatchObject({ state: 'arrived', arrival: { count: 39 } });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('two arrivals at once: one stands', async () => {
  const { floor, hill, bottles } = await twoPremises();
  const transit = await send(floor, sent(bottles, hill));
  const body = { count: 40, occurredAt: '2026-03-31T12:00:00Z' };
  const answers = await Promise.all([1, 2, 3].map(() => arrive(floor, transit.id, body)));
  expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409]);
});

test('what cannot be sent or arrive is refused with its code, and nothing is stored', async () => {
  const { floor, hill, bottles } = await twoPremises();
  const other = await twoPremises();
  const bare = String((await floor.post('/v1/premises', { name: 'Bare', timeZone: 'Europe/London' })).id);
  const transit = await send(floor, sent(bottles, hill));
  const nowhere = await send(floor, sent(bottles, bare, { count: 1 }));
  const done = await send(floor, sent(bottles, hill, { count: 1 }));
  await floor.post(`/v1/transits/${done.id}/arrival`, { count: 1, occurredAt: '2026-03-31T12:00:00Z' });
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const here = `/v1/transits/${transit.id}/arrival`;
  const at = { occurredAt: '2026-03-31T12:00:00Z' };
  const before = await service.rowCounts();
  const refusals: [name: string, path: string, body: Json, status: number, code: string][] = [
    ['to the same premises', '/v1/transits', sent(bottles, floor.premisesId), 409, 'conflict'],
    ['to unknown premises', '/v1/transits', sent(bottles, unknown), 404, 'not-found'],
    ['to another producer’s', '/v1/transits', sent(bottles, other.hill), 404, 'not-found'],
    ['more than there is', '/v1/transits', sent(bottles, hill, { count: 59 }), 409, 'insufficient-stock'],
    ['nothing', '/v1/transits', sent(bottles, hill, { count: 0 }), 422, 'out-of-range'],
    ['no document', '/v1/transits', sent(bottles, hill, { document: undefined }), 400, 'validation-failed'],
    [
      'from where none is',
      '/v1/transits',
      sent(bottles, floor.premisesId, { fromPremisesId: hill, count: 9 }),
      409,
      'insufficient-stock',
    ],
    [
      'before the opening',
      '/v1/transits',
      sent(bottles, hill, { count: 1, occurredAt: '2026-02-20T12:00:00Z' }),
      409,
      'period-not-open',
    ],
    ['more than was sent', here, { count: 41, ...at }, 409, 'insufficient-stock'],
    ['fewer without a reason', here, { count: 39, ...at }, 400, 'validation-failed'],
    ['before it was sent', here, { count: 40, occurredAt: '2026-03-29T12:00:00Z' }, 409, 'conflict'],
    ['after the periods', here, { count: 40, occurredAt: '2026-05-01T12:00:00Z' }, 409, 'period-not-open'],
    ['where no period is', `/v1/transits/${nowhere.id}/arrival`, { count: 1, ...at }, 409, 'period-not-open'],
    ['a second time', `/v1/transits/${done.id}/arrival`, { count: 1, ...at }, 409, 'conflict'],
    ['of nothing', `/v1/transits/${unknown}/arrival`, { count: 1, ...at }, 404, 'not-found'],
  ];
  for (const [name, path, body, status, code] of refusals) {
    const refused = await service.call('post', path, { key: floor.key, body });
    expect([name, refused.status, problemOf(refused).code]).toEqual([name, status, code]);
  }
  expect(await service.rowCounts()).toEqual(before);
  // The sender's March is closed: what arrives late arrives in April, in both.
  const [march] = (await floor.get(`/v1/periods?premisesId=${floor.premisesId}`)).items as { id: string }[];
  await floor.post(`/v1/periods/${march.id}/closing`, {});
  const late = await arrive(floor, transit.id, { count: 40, ...at });
  expect([late.status, problemOf(late).code]).toEqual([409, 'period-closed']);
  expect((await arrive(floor, transit.id, { count: 40, occurredAt: '2026-04-01T12:00:00Z' })).status).toBe(201);
});
