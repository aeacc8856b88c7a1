import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const L = (value: number) => ({ value, unit: 'L' });

/** 100 L at 5 % in a tank and 50 L at 4 % in a serving tank; a reading takes 150 mL. */
async function cellar() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [
      { vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 },
      { vessel: 'T2', category: 'cider', litres: 50, volumeU: 0.5, percent: 4, strengthU: 0.1 },
    ],
    [],
  );
  const [first, second] = stock.lots.map((lotId, index) => ({ lotId, vesselId: stock.vessels[index] }));
  return { floor, first, second };
}
const setVolume = async (floor: Floor, mL: number) => {
  const answer = await service.call('get', '/v1/producer', { key: floor.key });
  const settings = { ...(answer.body as { settings: Json }).settings, sampleVolume: { value: mL, unit: 'mL' } };
  await service.expect(200, 'patch', '/v1/producer', {
    key: floor.key,
    body: { settings },
    headers: { 'if-match': String(answer.headers.etag) },
  });
};
const reportOf = async (floor: Floor) => {
  const [march] = (await floor.get('/v1/periods')).items as { id: string }[];
  return (await floor.get(`/v1/periods/${march.id}/report`)) as unknown as PeriodReport;
};
const lineOf = (report: PeriodReport, name: string) => {
  const each = report.lines.find(({ line }) => line === name);
  return [each?.litres.value, each?.litresOfPureAlcohol.value];
};

test('what the readings of a day took out is posted by vessel, once', async () => {
  const { floor, first, second } = await cellar();
  const day = { premisesId: floor.premisesId, day: '2026-03-05' };
  const ask = (body: Json) => service.call('post', '/v1/sample-days', { key: floor.key, body });
  expect(problemOf(await ask(day)).errors?.[0].rule).toBe('no-sample-volume');
  await setVolume(floor, 150);
  expect(problemOf(await ask(day)).errors?.[0].rule).toBe('no-readings');
  const inFirst = { vesselId: first.vesselId };
  await floor.gravity(first.lotId, 1.002, '2026-03-05T08:00:00Z', inFirst);
  await floor.gravity(first.lotId, 1.001, '2026-03-05T17:00:00Z', inFirst);
  await floor.gravity(second.lotId, 1.003, '2026-03-05T09:00:00Z', { vesselId: second.vesselId });
  // Another day, a struck one and a temperature take nothing of this day.
  await floor.gravity(first.lotId, 1.001, '2026-03-06T08:00:00Z', inFirst);
  const wrong = await floor.gravity(first.lotId, 1.2, '2026-03-05T18:00:00Z', inFirst);
  await floor.post(`/v1/readings/${wrong}/strike`, { reasonCode: 'misread' });
  await floor.post(`/v1/lots/${first.lotId}/readings`, {
    kind: 'temperature',
    quantity: { value: 12, unit: 'Cel' },
    takenAt: '2026-03-05T19:00:00Z',
    ...inFirst,
  });
  const made = (await floor.post('/v1/sample-days', day)) as { samples: Json[] };
  const bySize = [...made.samples].sort((a, b) => Number(b.readings) - Number(a.readings));
  expect(bySize).toMatchObject([
    { ...first, readings: 2, litres: { value: 0.3 }, litresOfPureAlcohol: { value: 0.015 } },
    { ...second, readings: 1, litres: { value: 0.15 }, litresOfPureAlcohol: { value: 0.006 } },
  ]);
  expect(await floor.get(`/v1/movements/${String(bySize[0].movementId)}`)).toMatchObject({
    kind: 'sample',
    vesselId: first.vesselId,
    occurredAt: '2026-03-05T17:00:00.000Z',
  });
  const report = await reportOf(floor);
  expect(lineOf(report, 'samples')).toEqual([-0.45, -0.021]);
  expect(report.reconciliation.balances).toBe(true);
  const before = await service.rowCounts();
  const again = await ask(day);
  expect([again.status, problemOf(again).errors?.[0].rule]).toEqual([409, 'summed']);
  expect((await ask({ ...day, premisesId: '018f0000-0000-7000-8000-000000000000' })).status).toBe(404);
  expect((await ask({ ...day, day: '2026-02-30' })).status).toBe(400);
  expect(await service.rowCounts()).toEqual(before);
  for (const { movementId } of made.samples) {
    await floor.post(`/v1/operations/${String(movementId)}/reversal`, { reasonCode: 'did-not-happen' });
  }
  expect((await ask(day)).status).toBe(201);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a reading is of what the books have in the vessel when the day is summed, in whatever order all was entered', async () => {
  const { floor, first } = await cellar();
  await setVolume(floor, 200);
  const day = { premisesId: floor.premisesId, day: '2026-03-05' };
  const [vesselId, lotId] = [await floor.vessel('T3'), await floor.lot()];
  // Read in the morning, before anything was in the vessel; read at noon and entered before the charge and before the dilution.
  await floor.gravity(lotId, 1.04, '2026-03-05T07:00:00Z', { vesselId });
  await floor.gravity(lotId, 1.04, '2026-03-05T12:00:00Z', { vesselId });
  await floor.gravity(first.lotId, 1.001, '2026-03-05T12:00:00Z', { vesselId: first.vesselId });
  const ask = () => service.call('post', '/v1/sample-days', { key: floor.key, body: day });
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(80), occurredAt: '2026-03-05T08:00:00Z' });
  await floor.post(`/v1/lots/${first.lotId}/dilutions`, {
    vesselId: first.vesselId,
    water: L(100),
    occurredAt: '2026-03-05T09:00:00Z',
  });
  const made = await ask();
  expect(made.status).toBe(201);
  const { samples } = made.body as unknown as { samples: Json[] };
  const of = (id: string) => samples.filter((each) => each.lotId === id);
  expect(samples).toHaveLength(2);
  expect(of(lotId)).toMatchObject([
    { vesselId, readings: 1, litres: { value: 0.2 }, litresOfPureAlcohol: { value: 0 } },
  ]);
  // 0.2 L of what had been diluted to half its 5 %.
  const [diluted] = of(first.lotId) as { readings: number; litresOfPureAlcohol: { value: number } }[];
  expect(diluted.readings).toBe(1);
  expect(Math.abs(diluted.litresOfPureAlcohol.value - 0.005)).toBeLessThan(0.00001);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a serving tank is released from by its daily total, and its closing gauge leaves what is to be explained', async () => {
  const { floor, first } = await cellar();
  const serving = await floor.vessel('S1', 'serving-tank');
  await floor.post(`/v1/lots/${first.lotId}/transfers`, {
    fromVesselId: first.vesselId,
    toVesselId: serving,
    volume: L(50),
    occurredAt: '2026-03-09T12:00:00Z',
  });
  const total = {
    kind: 'release',
    lotId: first.lotId,
    vesselId: serving,
    volume: L(20),
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-03-10T22:00:00Z',
  };
  const sold = await floor.post('/v1/movements', total);
  expect(sold).toMatchObject({ duty: { strengthForDuty: { value: 5 }, litresOfPureAlcohol: { value: 1 } } });
  const gauge = await floor.post(`/v1/lots/${first.lotId}/gauges`, {
    vesselId: serving,
    volume: L(28.5),
    temperature: { value: 20, unit: 'Cel' },
    occurredAt: '2026-03-10T23:00:00Z',
  });
  expect(lineOf(await reportOf(floor), 're-measurement')).toEqual([-1.5, -0.075]);
  // A litre of it was the line's waste of that evening: that much of the difference is explained.
  await floor.post('/v1/movements', {
    kind: 'process-loss',
    lotId: first.lotId,
    vesselId: serving,
    volume: L(1),
    reasonCode: 'line-cleaning',
    explains: gauge.operationId,
    occurredAt: '2026-03-10T21:00:00Z',
  });
  const report = await reportOf(floor);
  expect(lineOf(report, 're-measurement')).toEqual([-0.5, -0.025]);
  expect(lineOf(report, 'process-loss')).toEqual([-1, -0.05]);
  expect(lineOf(report, 'released')).toEqual([-20, -1]);
  const tank = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: { ...total, vesselId: first.vesselId },
  });
  expect(problemOf(tank).code).toBe('not-packed');
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('spirit on which duty was paid is stock of its own, and is used up as such', async () => {
  const { floor } = await cellar();
  const material = await floor.post('/v1/materials', {
    name: 'Spirit',
    kind: 'spirit',
    strength: { value: 96, unit: '%' },
  });
  const received = (code: string, dutyStatus: string) =>
    floor.post('/v1/material-lots', {
      materialId: material.id,
      premisesId: floor.premisesId,
      code,
      volume: L(10),
      dutyStatus,
      occurredAt: '2026-03-02T09:00:00Z',
    });
  const [paid, suspended] = [await received('P-1', 'paid'), await received('S-1', 'suspended')];
  const charged = await floor.post(`/v1/lots/${await floor.lot('spirit-drink')}/spirit-charges`, {
    vesselId: await floor.vessel('D1', 'tank'),
    spirits: [
      { materialLotId: paid.id, volume: L(2) },
      { materialLotId: suspended.id, volume: L(3) },
    ],
    water: L(45),
    occurredAt: '2026-03-03T09:00:00Z',
  });
  const { postings } = (await floor.get(`/v1/operations/${String(charged.operationId)}`)) as {
    postings: { account: string; kind: string; category: string; litres: { value: number } }[];
  };
  const used = postings
    .filter(({ kind, category }) => kind === 'used-as-material' && category === 'materials')
    .map(({ account, litres }) => [account.split('/')[4], litres.value]);
  expect(used.sort()).toEqual([
    ['paid', 2],
    ['suspended', 3],
  ]);
  const { items } = (await floor.get('/v1/accounts?stage=materials')) as { items: Json[] };
  expect(items.map(({ dutyStatus, litres }) => [dutyStatus, (litres as { value: number }).value]).sort()).toEqual([
    ['paid', 8],
    ['suspended', 7],
  ]);
  expect((await reportOf(floor)).reconciliation.balances).toBe(true);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what duty was paid on is released, to whoever it goes, and does not go out under suspension', async () => {
  const { floor } = await cellar();
  const material = await floor.post('/v1/materials', {
    name: 'Spirit',
    kind: 'spirit',
    strength: { value: 96, unit: '%' },
  });
  const received = async (code: string, dutyStatus: string) =>
    String(
      (
        await floor.post('/v1/material-lots', {
          materialId: material.id,
          premisesId: floor.premisesId,
          code,
          volume: L(10),
          dutyStatus,
          occurredAt: '2026-03-02T09:00:00Z',
        })
      ).id,
    );
  const [paid, suspended] = [await received('P-1', 'paid'), await received('S-1', 'suspended')];
  const back = {
    counterparty: 'Spirit merchant (invented)',
    evidence: { document: 'DOC-4' },
    occurredAt: '2026-03-03T09:00:00Z',
    volume: L(5),
  };
  const before = await service.rowCounts();
  const refused: [kind: string, materialLotId: string, code: string, pointer: string][] = [
    ['dispatch-suspended', paid, 'conflict', '/kind'],
    ['release', suspended, 'not-packed', '/materialLotId'],
    ['own-use', paid, 'not-packed', '/materialLotId'],
  ];
  for (const [kind, materialLotId, code, pointer] of refused) {
    const body = { ...back, kind, materialLotId };
    const answer = await service.call('post', '/v1/movements', { key: floor.key, body });
    expect([kind, problemOf(answer).code, problemOf(answer).errors?.[0].pointer]).toEqual([kind, code, pointer]);
  }
  expect(await service.rowCounts()).toEqual(before);
  const gone = await floor.post('/v1/movements', { ...back, kind: 'release', materialLotId: paid });
  expect(gone).toMatchObject({ litresOfPureAlcohol: { value: 4.8 }, dutyStatus: 'paid' });
  expect(Object.keys(gone)).not.toContain('dutyDate');
  const report = await reportOf(floor);
  const line = report.lines.find((each) => each.line === 'released');
  expect([line?.litres.value, line?.litresOfPureAlcohol.value, report.reconciliation.balances]).toEqual([
    -5,
    -4.8,
    true,
  ]);
  expect(report.duty.previouslyDutyPaid).toMatchObject({ releases: 1, litres: L(5), litresOfPureAlcohol: L(4.8) });
  expect([report.duty.tie.litres.value, report.duty.money]).toEqual([0, []]);
  await expectBooksHold(service, floor.producerId, floor.key);
});
