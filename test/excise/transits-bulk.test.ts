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
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-28T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const L = (value: number) => ({ value, unit: 'L' });

/** At Mill Lane 200 L at 5 % in a tank, 50 L that ferment in another, ten kegs of 19 L; at the Hill two empty tanks and lots. */
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
    [
      { vessel: 'T1', category: 'cider', litres: 200, volumeU: 0.5, percent: 5, strengthU: 0.1 },
      { vessel: 'T2', category: 'cider', litres: 50, volumeU: 0.5 },
    ],
    [
      {
        mark: 'K-1',
        category: 'cider',
        count: 10,
        nominalLitres: 19,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.1,
        container: 'keg',
      },
    ],
  );
  const there = {
    lotId: String((await floor.post('/v1/lots', { premisesId: hill, category: 'cider' })).id),
    vesselId: await floor.vessel('H1', 'tank', hill),
  };
  const tank = { lotId: stock.lots[0], vesselId: stock.vessels[0] };
  const young = { lotId: stock.lots[1], vesselId: stock.vessels[1] };
  return { floor, hill, tank, young, there, kegs: stock.packaged[0] };
}

const sent = (goods: Json, toPremisesId: string, more: Json = {}) => ({
  ...goods,
  toPremisesId,
  document: 'DOC-9',
  occurredAt: '2026-03-30T12:00:00Z',
  ...more,
});
const send = async (floor: Floor, body: Json) => (await floor.post('/v1/transits', body)) as unknown as Transit;
const arrive = async (floor: Floor, id: string, body: Json) =>
  (await floor.post(`/v1/transits/${id}/arrival`, {
    occurredAt: '2026-03-31T12:00:00Z',
    ...body,
  })) as unknown as Transit;
const reportOf = async (floor: Floor, premisesId: string) => {
  const [period] = (await floor.get(`/v1/periods?premisesId=${premisesId}`)).items as { id: string }[];
  return (await floor.get(`/v1/periods/${period.id}/report`)) as unknown as PeriodReport;
};
const lineOf = (report: PeriodReport, name: string) => {
  const each = report.lines.find(({ line }) => line === name);
  return [each?.litres.value, each?.litresOfPureAlcohol.value];
};

test('bulk on the way is the sender’s, flagged until it arrives; it arrives in a vessel, with its strength and its loss', async () => {
  const { floor, hill, tank, there } = await twoPremises();
  const transit = await send(floor, sent({ ...tank, volume: L(120) }, hill));
  expect(transit).toMatchObject({
    state: 'on-the-way',
    lotId: tank.lotId,
    dutyStatus: 'suspended',
    litres: { value: 120 },
  });
  expect(transit.count).toBeUndefined();
  const before = await reportOf(floor, floor.premisesId);
  expect(before.stock.items.filter(({ kind }) => kind === 'in-transit')).toMatchObject([
    { lotId: tank.lotId, litres: { value: 120 }, litresOfPureAlcohol: { value: 6 } },
  ]);
  expect(before.reconciliation.balances).toBe(true);
  const [march] = (await floor.get(`/v1/periods?premisesId=${floor.premisesId}`)).items as { id: string }[];
  const check = (await floor.get(`/v1/periods/${march.id}/closing-check`)) as unknown as ClosingCheck;
  expect(check.findings.filter(({ code }) => code === 'consignment-not-arrived')).toHaveLength(1);
  const arrived = await arrive(floor, transit.id, { ...there, volume: L(118.8), reasonCode: 'residue' });
  expect(arrived).toMatchObject({ state: 'arrived', arrival: { loss: { value: 1.2 }, reasonCode: 'residue' } });
  expect(await floor.get(`/v1/transits/${transit.id}`)).toEqual(arrived);
  const [here, far] = [await reportOf(floor, floor.premisesId), await reportOf(floor, hill)];
  expect(lineOf(here, 'premises-moves')).toEqual([-118.8, -5.94]);
  expect(lineOf(here, 'transit-loss')).toEqual([-1.2, -0.06]);
  expect(lineOf(far, 'premises-moves')).toEqual([118.8, 5.94]);
  expect([here.reconciliation.balances, far.reconciliation.balances]).toEqual([true, true]);
  // It has the strength that it had, and can be packed there; a later finding of the sender's liquid restates it there too.
  const { items } = (await floor.get(`/v1/lots/${there.lotId}/findings`)) as { items: Json[] };
  expect(items).toMatchObject([{ standing: 'of-record', method: { id: 'split' }, strength: { value: 5 } }]);
  const found = await floor.post(`/v1/lots/${tank.lotId}/findings`, {
    method: 'certificate',
    certificate: {
      strength: { value: 5.1, unit: '%' },
      expandedUncertainty: { value: 0.1, unit: '%' },
      coverageFactor: 2,
    },
    occurredAt: '2026-04-01T12:00:00Z',
  });
  expect((found.restatement as { inStock: Json[] }).inStock).toMatchObject([
    { lotId: tank.lotId, volume: { value: 80 } },
    { lotId: there.lotId, vesselId: there.vesselId, volume: { value: 118.8 }, pureAlcohol: { value: 0.1188 } },
  ]);
  await floor.post(`/v1/lots/${there.lotId}/packagings`, {
    vesselId: there.vesselId,
    container: 'keg',
    nominalVolume: L(19),
    count: 6,
    emptied: true,
    reasonCode: 'recording-error',
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-04-02T12:00:00Z',
  });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a strength found while it is on the way changes it there; all of it may be lost; an arrival can be undone', async () => {
  const { floor, hill, tank, there } = await twoPremises();
  const transit = await send(floor, sent({ ...tank, volume: L(100) }, hill));
  await floor.post(`/v1/lots/${tank.lotId}/findings`, {
    method: 'certificate',
    certificate: {
      strength: { value: 5.2, unit: '%' },
      expandedUncertainty: { value: 0.1, unit: '%' },
      coverageFactor: 2,
    },
    occurredAt: '2026-03-30T18:00:00Z',
  });
  const arrived = await arrive(floor, transit.id, { ...there, volume: L(100) });
  expect(lineOf(await reportOf(floor, hill), 'premises-moves')).toEqual([100, 5.2]);
  await floor.post(`/v1/operations/${String(arrived.arrival?.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  expect((await floor.get(`/v1/transits/${transit.id}`)).state).toBe('on-the-way');
  await arrive(floor, transit.id, { ...there, volume: L(0), reasonCode: 'transit' });
  expect(lineOf(await reportOf(floor, floor.premisesId), 'transit-loss')).toEqual([-100, -5.2]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('goods on which duty was paid go and arrive as such, and owe nothing again', async () => {
  const { floor, hill, kegs } = await twoPremises();
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: kegs,
    count: 3,
    occurredAt: '2026-03-05T12:00:00Z',
  });
  await floor.post('/v1/movements', {
    kind: 'return',
    packagedLotId: kegs,
    count: 2,
    dutyStatus: 'paid',
    counterparty: 'Corner house (invented)',
    occurredAt: '2026-03-06T12:00:00Z',
  });
  const paid = { packagedLotId: kegs, dutyStatus: 'paid' };
  const transit = await send(floor, sent({ ...paid, count: 2 }, hill));
  expect(transit).toMatchObject({ dutyStatus: 'paid', count: 2, packagedLotId: kegs });
  await arrive(floor, transit.id, { count: 2 });
  const bare = { kind: 'release', packagedLotId: kegs, premisesId: hill, count: 1, occurredAt: '2026-04-01T12:00:00Z' };
  const asked = { ...bare, dutyStatus: 'suspended' };
  const suspended = await service.call('post', '/v1/movements', { key: floor.key, body: asked });
  expect(problemOf(suspended).code).toBe('insufficient-stock');
  // All that is there is paid, so that the release need not say it.
  const released = await floor.post('/v1/movements', bare);
  expect(released.dutyStatus).toBe('paid');
  expect(released.duty).toBeUndefined();
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what cannot be sent or arrive in bulk is refused with its code, and nothing is stored', async () => {
  const { floor, hill, tank, young, there, kegs } = await twoPremises();
  const transit = await send(floor, sent({ ...tank, volume: L(20) }, hill));
  const packed = await send(floor, sent({ packagedLotId: kegs, count: 1 }, hill));
  const perry = String((await floor.post('/v1/lots', { premisesId: hill, category: 'perry' })).id);
  const arrival = (id: string) => `/v1/transits/${id}/arrival`;
  const here = arrival(transit.id);
  const at = { occurredAt: '2026-03-31T12:00:00Z' };
  const whole = { ...there, volume: L(20), ...at };
  const before = await service.rowCounts();
  const refusals: [name: string, path: string, body: Json, status: number, code: string][] = [
    ['what ferments', '/v1/transits', sent({ ...young, volume: L(5) }, hill), 409, 'finding-needed'],
    ['more than there is', '/v1/transits', sent({ ...tank, volume: L(181) }, hill), 409, 'insufficient-stock'],
    ['to the same premises', '/v1/transits', sent({ ...tank, volume: L(1) }, floor.premisesId), 409, 'conflict'],
    [
      'half of what names it',
      '/v1/transits',
      sent({ lotId: tank.lotId, volume: L(1) }, hill),
      400,
      'validation-failed',
    ],
    [
      'both',
      '/v1/transits',
      sent({ ...tank, volume: L(1), packagedLotId: kegs, count: 1 }, hill),
      400,
      'validation-failed',
    ],
    ['kegs by litres', '/v1/transits', sent({ packagedLotId: kegs, volume: L(1) }, hill), 400, 'validation-failed'],
    [
      'paid that is not',
      '/v1/transits',
      sent({ packagedLotId: kegs, count: 1, dutyStatus: 'paid' }, hill),
      409,
      'insufficient-stock',
    ],
    ['a count of bulk', here, { count: 1, ...at }, 400, 'validation-failed'],
    ['bulk of a count', arrival(packed.id), whole, 400, 'validation-failed'],
    ['more than was sent', here, { ...whole, volume: L(20.000001) }, 409, 'insufficient-stock'],
    ['less without a reason', here, { ...whole, volume: L(19) }, 400, 'validation-failed'],
    ['into a vessel elsewhere', here, { ...whole, vesselId: tank.vesselId }, 409, 'conflict'],
    ['under a lot elsewhere', here, { ...whole, lotId: tank.lotId }, 409, 'conflict'],
    ['as something else', here, { ...whole, lotId: perry }, 409, 'conflict'],
    ['before it was sent', here, { ...whole, occurredAt: '2026-03-29T12:00:00Z' }, 409, 'conflict'],
  ];
  for (const [name, path, body, status, code] of refusals) {
    const refused = await service.call('post', path, { key: floor.key, body });
    expect([name, refused.status, problemOf(refused).code]).toEqual([name, status, code]);
  }
  expect(await service.rowCounts()).toEqual(before);
  await floor.post(here, whole);
  const second = await send(floor, sent({ ...tank, volume: L(1) }, hill));
  const used = await service.call('post', arrival(second.id), { key: floor.key, body: { ...whole, volume: L(1) } });
  expect(problemOf(used).code).toBe('vessel-in-use');
});
