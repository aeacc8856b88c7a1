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

const L = (value: number) => ({ value, unit: 'L' });
type Json = Record<string, unknown>;

/** Ten kegs of 19 L at 5 % (190 L, 9.5 L of pure alcohol), a tank of 100 L at 5 %, a serving tank of 50 L at 4 %. */
async function cellar() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [
      {
        mark: 'K-1',
        category: 'cider',
        count: 10,
        nominalLitres: 19,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.05,
        container: 'keg',
      },
    ],
  );
  return { floor, kegs: stock.packaged[0], tank: { lotId: stock.lots[0], vesselId: stock.vessels[0] } };
}

const ask = (floor: Floor, body: Json) => service.call('post', '/v1/movements', { key: floor.key, body });
const move = (floor: Floor, body: Json) => floor.post('/v1/movements', body);
const released = (packagedLotId: string, count: number, more: Json = {}) => ({
  kind: 'release',
  packagedLotId,
  count,
  occurredAt: '2026-03-05T12:00:00Z',
  ...more,
});
const returned = (packagedLotId: string, more: Json) => ({
  kind: 'return',
  packagedLotId,
  counterparty: 'Corner house (invented)',
  occurredAt: '2026-03-10T12:00:00Z',
  ...more,
});
const accounts = async (floor: Floor) =>
  (
    (await floor.get('/v1/accounts?limit=200')).items as {
      packagedLotId?: string;
      vesselId?: string;
      dutyStatus: string;
      litres: { value: number };
      litresOfPureAlcohol: { value: number };
    }[]
  ).map((each) => [
    each.packagedLotId ?? each.vesselId,
    each.dutyStatus,
    each.litres.value,
    each.litresOfPureAlcohol.value,
  ]);
const reportOf = async (floor: Floor) => {
  const [march] = (await floor.get('/v1/periods')).items as { id: string }[];
  return (await floor.get(`/v1/periods/${march.id}/report`)) as unknown as PeriodReport;
};
const lineOf = (report: PeriodReport, name: string) => {
  const each = report.lines.find(({ line }) => line === name);
  return [each?.litres.value, each?.litresOfPureAlcohol.value];
};

test('full and part-full kegs come back with the alcohol that left; the last brings the rest', async () => {
  const { floor, kegs } = await cellar();
  await move(floor, released(kegs, 4));
  const full = await move(floor, returned(kegs, { count: 1 }));
  expect(full).toMatchObject({ kind: 'return', count: 1, litres: { value: 19 }, litresOfPureAlcohol: { value: 0.95 } });
  expect(full.duty).toBeUndefined();
  const part = await move(floor, returned(kegs, { volume: L(7.3) }));
  // 7.3 of the 57 L that are still out, with 2.85 L of pure alcohol: 0.365 L.
  expect(part).toMatchObject({ litres: { value: 7.3 }, litresOfPureAlcohol: { value: 0.365 } });
  const kept = await floor.get(`/v1/movements/${String(part.id)}`);
  expect(kept).toMatchObject({ litresOfPureAlcohol: { value: 0.365 }, counterparty: 'Corner house (invented)' });
  const report = await reportOf(floor);
  expect(lineOf(report, 'released')).toEqual([-76, -3.8]);
  expect(lineOf(report, 'returned')).toEqual([26.3, 1.315]);
  expect(report.reconciliation.balances).toBe(true);
  await move(floor, returned(kegs, { volume: L(49.7) }));
  expect(await accounts(floor)).toContainEqual([kegs, 'suspended', 190, 9.5]);
  const refused = await ask(floor, returned(kegs, { volume: L(0.001) }));
  expect([refused.status, problemOf(refused).code, problemOf(refused).errors?.[0].rule]).toEqual([
    409,
    'insufficient-stock',
    'more-than-outstanding',
  ]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a part-full keg is poured off before a witness, whose name stands outside the trail', async () => {
  const { floor, kegs } = await cellar();
  await move(floor, released(kegs, 1));
  await move(floor, returned(kegs, { volume: L(4.5) }));
  const destroyed = await move(floor, {
    kind: 'destruction',
    packagedLotId: kegs,
    volume: L(4.5),
    occurredAt: '2026-03-11T12:00:00Z',
    reasonCode: 'spoilage',
    evidence: { method: 'poured off' },
    witness: 'W. Itness (invented)',
  });
  expect(destroyed).toMatchObject({ litres: { value: 4.5 }, litresOfPureAlcohol: { value: 0.225 } });
  expect(destroyed.witness).toBeUndefined();
  expect(await floor.get(`/v1/movements/${String(destroyed.id)}`)).toMatchObject({ witness: 'W. Itness (invented)' });
  expect(JSON.stringify(await floor.get('/v1/audit-trail?limit=200'))).not.toMatch(/W\. Itness|Corner house/);
  expect(await accounts(floor)).toContainEqual([kegs, 'suspended', 171, 8.55]);
});

test('goods on which duty was paid are kept apart, and owe nothing again', async () => {
  const { floor, kegs } = await cellar();
  await move(floor, released(kegs, 3));
  const back = await move(floor, returned(kegs, { count: 2, dutyStatus: 'paid' }));
  expect(back.dutyStatus).toBe('paid');
  expect(await accounts(floor)).toEqual(
    expect.arrayContaining([
      [kegs, 'suspended', 133, 6.65],
      [kegs, 'paid', 38, 1.9],
    ]),
  );
  const again = await move(floor, released(kegs, 1, { dutyStatus: 'paid', occurredAt: '2026-03-12T12:00:00Z' }));
  expect(again.duty).toBeUndefined();
  const { duty } = await reportOf(floor);
  expect(duty.releases.map(({ count }) => count)).toEqual([3]);
  expect(duty.litresOfPureAlcoholForDuty.value).toBe(2.85);
  expect(duty.tie.litres.value).toBe(0);
  expect(problemOf(await ask(floor, released(kegs, 2, { dutyStatus: 'paid' }))).code).toBe('insufficient-stock');
});

test('a release is not undone under goods that came back since, and no return is dated back over another', async () => {
  const { floor, kegs } = await cellar();
  const out = await move(floor, released(kegs, 4));
  await move(floor, released(kegs, 1, { occurredAt: '2026-03-11T12:00:00Z' }));
  const back = await move(floor, returned(kegs, { count: 3 }));
  const before = await service.rowCounts();
  const reverse = (id: unknown) =>
    service.call('post', `/v1/operations/${String(id)}/reversal`, {
      key: floor.key,
      body: { reasonCode: 'did-not-happen' },
      headers: { 'idempotency-key': 'unsell' },
    });
  const refused = await reverse(out.id);
  expect([
    refused.status,
    problemOf(refused).code,
    refused.body.operationsInTheWay,
    refused.body.outstandingThen,
  ]).toEqual([409, 'returned-since', [back.id], { value: -57, unit: 'L' }]);
  // Four were out on the 5th, and three of them came back on the 10th: only one can have come back in between.
  const between = await ask(floor, returned(kegs, { count: 2, occurredAt: '2026-03-08T12:00:00Z' }));
  expect([problemOf(between).code, between.body.operationsInTheWay]).toEqual(['returned-since', [back.id]]);
  // Put right as fewer than came back: refused; as many: entered.
  const right = (count: number) =>
    ask(floor, released(kegs, count, { corrects: { operationId: out.id, reasonCode: 'wrong-count' } }));
  expect(problemOf(await right(2)).code).toBe('returned-since');
  expect(await service.rowCounts()).toEqual(before);
  expect((await right(3)).status).toBe(201);
  await floor.post(`/v1/operations/${String(back.id)}/reversal`, { reasonCode: 'did-not-happen' });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what left in a closed period is still out after its kind was put right', async () => {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const [kegs] = (
    await openStock(
      floor,
      '2026-03-01T08:00:00Z',
      [],
      [
        {
          mark: 'K-2',
          category: 'cider',
          count: 9,
          nominalLitres: 19,
          declaredPercent: 5,
          percent: 5,
          strengthU: 0.05,
          container: 'keg',
        },
      ],
    )
  ).packaged;
  const out = await move(floor, released(kegs, 2));
  const [march] = (await floor.get('/v1/periods')).items as { id: string }[];
  await floor.post(`/v1/periods/${march.id}/closing`, {});
  const at = { occurredAt: '2026-04-02T08:00:00Z' };
  // They were drunk on the premises, so nothing of them is out.
  await move(floor, {
    ...released(kegs, 2, at),
    kind: 'own-use',
    corrects: { operationId: out.id, reasonCode: 'wrong-kind' },
  });
  expect(problemOf(await ask(floor, returned(kegs, { count: 1, ...at }))).errors?.[0].rule).toBe(
    'more-than-outstanding',
  );
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('many returns at once bring back no more than left', async () => {
  const { floor, kegs } = await cellar();
  await move(floor, released(kegs, 3));
  const answers = await Promise.all(
    Array.from({ length: 6 }, (_, n) =>
      ask(floor, returned(kegs, { count: 1, dutyStatus: n % 2 ? 'paid' : 'suspended' })),
    ),
  );
  expect(answers.filter(({ status }) => status === 201)).toHaveLength(3);
  const stock = (await accounts(floor)).filter(([id]) => id === kegs).map(([, , litres]) => Number(litres));
  expect(stock.reduce((sum, each) => sum + each, 0)).toBe(190);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('yeast and trub, evaporation and filtering losses leave a vessel on lines of their own', async () => {
  const { floor, tank } = await cellar();
  const loss = (kind: string, litres: number) =>
    move(floor, { kind, ...tank, volume: L(litres), occurredAt: '2026-03-10T12:00:00Z' });
  await loss('yeast-and-trub', 4);
  await loss('evaporation', 0.5);
  await loss('filtering-loss', 1.5);
  const report = await reportOf(floor);
  expect(lineOf(report, 'yeast-and-trub')).toEqual([-4, -0.2]);
  expect(lineOf(report, 'evaporation')).toEqual([-0.5, -0.025]);
  expect(lineOf(report, 'process-loss')).toEqual([-1.5, -0.075]);
});

test('a serving tank answers by its daily total and a closing gauge, with a declared strength', async () => {
  const { floor, tank } = await cellar();
  const serving = await floor.vessel('S1', 'serving-tank');
  await floor.post(`/v1/lots/${tank.lotId}/transfers`, {
    fromVesselId: tank.vesselId,
    toVesselId: serving,
    volume: L(50),
    occurredAt: '2026-03-09T12:00:00Z',
  });
  const served = {
    kind: 'own-use',
    lotId: tank.lotId,
    vesselId: serving,
    volume: L(12.5),
    occurredAt: '2026-03-10T23:00:00Z',
  };
  const before = await service.rowCounts();
  const bare = problemOf(await ask(floor, served));
  expect([bare.code, bare.errors?.[0].pointer]).toEqual(['validation-failed', '/declaredStrength']);
  const strength = { declaredStrength: { value: 4.8, unit: '%' } };
  expect(problemOf(await ask(floor, { ...served, ...strength, vesselId: tank.vesselId })).code).toBe('not-packed');
  expect(problemOf(await ask(floor, { ...served, ...strength, kind: 'sample' })).code).toBe('validation-failed');
  expect(await service.rowCounts()).toEqual(before);
  const made = await move(floor, { ...served, ...strength });
  expect(made).toMatchObject({
    litresOfPureAlcohol: { value: 0.625 },
    duty: { dutyDate: '2026-03-10', strengthForDuty: { value: 4.8 }, litresOfPureAlcohol: { value: 0.6 } },
  });
  await floor.post(`/v1/lots/${tank.lotId}/gauges`, {
    vesselId: serving,
    volume: L(37),
    temperature: { value: 20, unit: 'Cel' },
    occurredAt: '2026-03-10T23:30:00Z',
  });
  const { duty, reconciliation } = await reportOf(floor);
  expect(duty.releases).toHaveLength(1);
  expect(duty.releases[0]).toMatchObject({ kind: 'own-use', litresOfPureAlcoholForDuty: { value: 0.6 } });
  expect([duty.tie.balances, reconciliation.balances]).toEqual([true, true]);
});

test('packed goods go back into a vessel as a composition of their own, and can be packed again', async () => {
  const { floor, kegs } = await cellar();
  const lotId = await floor.lot('perry');
  const vesselId = await floor.vessel('R1', 'tank');
  const body = { packagedLotId: kegs, count: 2, lotId, vesselId, loss: L(0.5), occurredAt: '2026-03-10T12:00:00Z' };
  const made = await floor.post('/v1/reworks', body);
  // 38 L with 1.9 L of pure alcohol, half a litre spilt: 37.5 L, 1.875 L; 5 % ± 1.959964 × 0.05.
  expect(made).toMatchObject({ volume: L(37.5), pureAlcohol: L(1.875), category: 'perry', loss: L(0.5) });
  expect((made.strength as { value: number }).value).toBeCloseTo(5, 9);
  expect((made.expandedUncertainty as { value: number }).value).toBeCloseTo(0.098, 3);
  const report = await reportOf(floor);
  expect(lineOf(report, 'used-as-material')).toEqual([0, 0]);
  const perCategory = report.categories.map(({ category, lines, balances }) => [
    category,
    lines.find(({ line }) => line === 'used-as-material')?.litres.value,
    balances,
  ]);
  expect(perCategory).toEqual([
    ['cider', -37.5, true],
    ['perry', 37.5, true],
  ]);
  await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId,
    container: 'bottle',
    nominalVolume: L(0.5),
    count: 75,
    emptied: true,
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-03-11T12:00:00Z',
  });
  await expectBooksHold(service, floor.producerId, floor.key);
  const again = await service.call('post', '/v1/reworks', { key: floor.key, body: { ...body, count: 9 } });
  expect(problemOf(again).code).toBe('insufficient-stock');
});

test('what cannot come back or be reworked is refused with its code, and nothing is stored', async () => {
  const { floor, kegs, tank } = await cellar();
  const other = await cellar();
  await move(floor, released(kegs, 2));
  const hill = await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  const there = await floor.vessel('H1', 'tank', String(hill.id));
  const lotId = await floor.lot('cider');
  const empty = await floor.vessel('R9');
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const rework = { packagedLotId: kegs, count: 1, lotId, vesselId: empty, occurredAt: '2026-03-10T12:00:00Z' };
  const before = await service.rowCounts();
  const refusals: [name: string, path: string, body: Json, status: number, code: string][] = [
    ['from nobody', 'movements', returned(kegs, { count: 1, counterparty: undefined }), 400, 'validation-failed'],
    ['more than left', 'movements', returned(kegs, { count: 3 }), 409, 'insufficient-stock'],
    [
      'before it left',
      'movements',
      returned(kegs, { count: 1, occurredAt: '2026-03-04T12:00:00Z' }),
      409,
      'insufficient-stock',
    ],
    ['count and volume', 'movements', returned(kegs, { count: 1, volume: L(1) }), 400, 'validation-failed'],
    ['neither', 'movements', returned(kegs, {}), 400, 'validation-failed'],
    ['in bulk', 'movements', { kind: 'return', ...tank, volume: L(1), counterparty: 'x' }, 422, 'not-packed'],
    ['another producer’s', 'movements', returned(other.kegs, { count: 1 }), 404, 'not-found'],
    ['with a duty date', 'movements', returned(kegs, { count: 1, dutyDate: '2026-03-10' }), 400, 'validation-failed'],
    ['to unknown premises', 'movements', returned(kegs, { count: 1, premisesId: unknown }), 404, 'not-found'],
    ['where no period is', 'movements', returned(kegs, { count: 1, premisesId: hill.id }), 409, 'period-not-open'],
    ['trub of kegs', 'movements', { kind: 'yeast-and-trub', packagedLotId: kegs, count: 1 }, 400, 'validation-failed'],
    ['witness of a sale', 'movements', released(kegs, 1, { witness: 'X' }), 400, 'validation-failed'],
    [
      'duty status of bulk',
      'movements',
      { kind: 'sample', ...tank, volume: L(1), dutyStatus: 'paid' },
      400,
      'validation-failed',
    ],
    ['rework into a full tank', 'reworks', { ...rework, vesselId: tank.vesselId }, 409, 'vessel-in-use'],
    ['rework elsewhere', 'reworks', { ...rework, vesselId: there }, 409, 'conflict'],
    ['rework of more than there is', 'reworks', { ...rework, count: 9 }, 409, 'insufficient-stock'],
    ['rework with nothing left', 'reworks', { ...rework, loss: L(19) }, 409, 'insufficient-stock'],
    ['rework into an unknown lot', 'reworks', { ...rework, lotId: unknown }, 404, 'not-found'],
  ];
  for (const [name, path, body, status, code] of refusals) {
    const refused = await service.call('post', `/v1/${path}`, { key: floor.key, body });
    expect([name, refused.status, problemOf(refused).code]).toEqual([name, status, code]);
  }
  expect(await service.rowCounts()).toEqual(before);
});
