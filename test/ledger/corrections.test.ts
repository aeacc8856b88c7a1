import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
const clock = new SteppableClock(new Date('2026-04-20T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
  floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
});
afterAll(() => service.stop());

const check = async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
};
const facts = { litres: 100, original: 1.05, final: 1, day: '2026-04-02', finishedDay: '2026-04-10' };

async function pack(lotId: string, vesselId: string, count: number, more = {}, status = 201) {
  return floor.post(
    `/v1/lots/${lotId}/packagings`,
    {
      vesselId,
      container: 'bottle',
      nominalVolume: { value: 500, unit: 'mL' },
      count,
      declaredStrength: { value: 6.5, unit: '%' },
      emptied: true,
      reasonCode: 'spill',
      occurredAt: '2026-04-12T09:00:00Z',
      ...more,
    },
    status,
  );
}

/** What each stock account holds, with its uncertainty; versions and times aside. */
const stock = async (): Promise<Record<string, unknown>> => {
  const { items } = (await floor.get('/v1/accounts?limit=200')) as { items: Record<string, unknown>[] };
  return Object.fromEntries(
    items.map(({ id, litres, fermented, added, expandedUncertainty }) => [
      String(id),
      { litres, fermented, added, expandedUncertainty },
    ]),
  );
};

test('a reversal restores what was, and is itself reversed once', async () => {
  const vessel = await floor.vessel('A');
  const lotId = await floor.finishedLot(vessel, facts);
  const before = await stock();
  const packed = await pack(lotId, vessel, 180);
  const reversal = await floor.post(`/v1/operations/${String(packed.operationId)}/reversal`, {
    reasonCode: 'did-not-happen',
  });
  const after = await stock();
  for (const [id, account] of Object.entries(before)) {
    expect(after[id]).toEqual(account);
  }
  expect(
    (await floor.post(`/v1/operations/${String(packed.operationId)}/reversal`, { reasonCode: 'did-not-happen' }, 409))
      .code,
  ).toBe('conflict');
  await floor.post(`/v1/operations/${String(reversal.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  const lots = (await floor.get('/v1/packaged-lots')) as { items: { id: string; onHand: number }[] };
  expect(lots.items.find(({ id }) => id === packed.packagedLotId)?.onHand).toBe(180);
  await check();
});

test('an event that corrects another reverses it and is entered, or neither', async () => {
  const vessel = await floor.vessel('B');
  const lotId = await floor.finishedLot(vessel, facts);
  const wrong = await pack(lotId, vessel, 150);
  const corrects = { operationId: wrong.operationId, reasonCode: 'wrong-count' };
  const refused = await pack(lotId, vessel, 1500, { corrects }, 409);
  expect(refused.code).toBe('insufficient-stock');
  const right = await pack(lotId, vessel, 190, { corrects });
  expect(right.count).toBe(190);
  const again = await pack(lotId, vessel, 191, { corrects }, 409);
  expect(again.code).toBe('conflict');
  const operation = await floor.get(`/v1/operations/${String(right.operationId)}`);
  expect(operation.corrects).toBe(wrong.operationId);
  await check();
});

test('a correction fired ten times at once with one key is one correction', async () => {
  const vessel = await floor.vessel('B2');
  const lotId = await floor.finishedLot(vessel, facts);
  const wrong = await pack(lotId, vessel, 150);
  const body = {
    vesselId: vessel,
    container: 'bottle',
    nominalVolume: { value: 500, unit: 'mL' },
    count: 160,
    emptied: true,
    reasonCode: 'spill',
    declaredStrength: { value: 6.5, unit: '%' },
    occurredAt: '2026-04-12T09:00:00Z',
    corrects: { operationId: wrong.operationId, reasonCode: 'wrong-count' },
  };
  const answers = await Promise.all(
    Array.from({ length: 10 }, () =>
      service.call('post', `/v1/lots/${lotId}/packagings`, {
        key: floor.key,
        body,
        headers: { 'idempotency-key': 'once' },
      }),
    ),
  );
  const good = answers.filter(({ status }) => status === 201);
  expect(new Set(good.map(({ body: each }) => JSON.stringify(each))).size).toBe(1);
  expect(answers.every(({ status }) => status === 201 || status === 409)).toBe(true);
  const again = await floor.post(`/v1/lots/${lotId}/packagings`, body, 201, { 'idempotency-key': 'once' });
  expect(again).toEqual(good[0].body);
  await check();
});

test('what stands on an operation is named when it is to be reversed', async () => {
  const vessel = await floor.vessel('C');
  const lotId = await floor.finishedLot(vessel, facts);
  const charge = (await floor.get(`/v1/operations?lotId=${lotId}`)) as { items: { id: string; kind: string }[] };
  const id = charge.items.find(({ kind }) => kind === 'charge')?.id;
  const refused = await floor.post(`/v1/operations/${String(id)}/reversal`, { reasonCode: 'wrong-vessel' }, 409);
  expect(refused.code).toBe('later-posting-in-the-way');
  expect(refused.operationKind).toBe('finish');
});

test('a finding that is reversed counts no more, and another takes its place', async () => {
  const vessel = await floor.vessel('D');
  const lotId = await floor.finishedLot(vessel, facts);
  const { items } = (await floor.get(`/v1/operations?lotId=${lotId}`)) as { items: { id: string; kind: string }[] };
  const finish = items.find(({ kind }) => kind === 'finish');
  await floor.post(`/v1/operations/${String(finish?.id)}/reversal`, { reasonCode: 'misread' });
  expect((await pack(lotId, vessel, 100, {}, 409)).code).toBe('finding-needed');
  await floor.gravity(lotId, 1.002, '2026-04-10T11:00:00Z');
  const found = await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    occurredAt: '2026-04-10T12:00:00Z',
  });
  expect(found.restates).toBeDefined();
  await pack(lotId, vessel, 180);
  await check();
});

test('a draw that emptied a vessel is put right after older liquid came into it', async () => {
  const [vessel, other] = [await floor.vessel('C1'), await floor.vessel('C2')];
  const at = (minute: string): string => `2026-04-18T10:${minute}:00Z`;
  const charged = async (vesselId: string, minute: string): Promise<string> => {
    const lotId = await floor.lot();
    const volume = { value: 40, unit: 'L' };
    const temperature = { value: 20, unit: 'Cel' };
    await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume, temperature, occurredAt: at(minute) });
    return lotId;
  };
  const older = await charged(other, '00');
  const lotId = await charged(vessel, '05');
  const draw = { lotId, vesselId: vessel, volume: { value: 40, unit: 'L' }, occurredAt: at('10') };
  const wrong = await floor.post('/v1/movements', { ...draw, kind: 'sample' });
  await floor.post(`/v1/lots/${older}/transfers`, { fromVesselId: other, toVesselId: vessel, occurredAt: at('20') });
  const corrects = { operationId: wrong.id, reasonCode: 'did-not-happen' };
  const less = { ...draw, kind: 'process-loss', volume: { value: 39, unit: 'L' }, corrects };
  expect((await floor.post('/v1/movements', less, 409)).code).toBe('vessel-in-use');
  const right = await floor.post('/v1/movements', { ...draw, kind: 'process-loss', corrects });
  expect(right.lotId).toBe(lotId);
  await check();
});

test('premises begin once, whatever was reversed and reinstated meanwhile', async () => {
  const own = await Floor.open(service, [['2026-04-01', '2026-05-01']]);
  const lotId = await own.lot();
  const stock = async (vessel: string) => {
    const liquid = { lotId, vesselId: await own.vessel(vessel), volume: { value: 50, unit: 'L' } };
    return { premisesId: own.premisesId, liquids: [liquid], occurredAt: '2026-04-01T08:00:00Z' };
  };
  const reverse = (id: unknown, status = 201) =>
    own.post(`/v1/operations/${String(id)}/reversal`, { reasonCode: 'did-not-happen' }, status);
  const first = await own.post('/v1/openings', await stock('D1'));
  const undone = await reverse(first.operationId);
  const again = await reverse(undone.operationId);
  expect((await own.post('/v1/openings', await stock('D2'), 409)).code).toBe('conflict');
  await reverse(again.operationId);
  const second = await own.post('/v1/openings', await stock('D3'));
  const rows = await service.rowCounts();
  // The first can be reinstated only when the second is gone.
  const [, , , last] = ((await own.get('/v1/operations?limit=10')) as { items: { id: string }[] }).items;
  const refused = await reverse(last.id, 409);
  expect(refused).toMatchObject({ code: 'conflict', operation: second.operationId });
  expect(await service.rowCounts()).toEqual(rows);
});
