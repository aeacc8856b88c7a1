import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { holds, kg, L, materialLot, number, percent, posted, refused, reportLines } from './changes-world.js';

let service: TestService;
const AT = '2026-03-10T09:00:00Z';
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const SUCROSE = { name: 'Sucrose', kind: 'sugar', fermentable: 'sucrose' };
const AROMA = { name: 'Aroma', kind: 'flavouring', strength: percent(60) };

/** A tank of 100 L of a finished drink of 10 % without extract. */
async function tank() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const { lots, vessels } = await openStock(
    floor,
    '2026-03-01T00:00:00Z',
    [{ vessel: 'A', category: 'wine', litres: 100, volumeU: 0.5, percent: 10, strengthU: 0.1 }],
    [],
  );
  return { floor, lotId: lots[0], vesselId: vessels[0], path: `/v1/lots/${lots[0]}/additions` };
}

test('sugar dissolved in a finished drink takes up its litres; the alcohol stays', async () => {
  const { floor, vesselId, path } = await tank();
  const { materialLotId } = await materialLot(floor, SUCROSE, { mass: kg(25) });
  const answer = await floor.post(path, { vesselId, purpose: 'sugar', materialLotId, mass: kg(2), occurredAt: AT });
  expect(answer).toMatchObject({ booked: 'solid', inProcess: false });
  expect(number(answer.pureAlcohol)).toBe(10);
  // R 22: 10 % vol is 0.984710 kg/L, so 98.4710 kg; with 2 kg that is 100.4710 kg. By d_v = d_a + d_r − 1 (OIV-MA-AS2-03B) with a volume of
  // 101.23 L: 9.8785 % vol has 0.984857 kg/L (R 22); 2 % of sucrose, 20.12 g/L, makes water 7.79 kg/m³ heavier (published row), 19.76 g/L 7.65:
  // 0.992507 kg/L, so 101.23 L.
  const added = number(answer.added);
  expect(added).toBeCloseTo(1.23, 2);
  expect(number(answer.volume)).toBeCloseTo(100 + added, 6);
  expect(await posted(floor, answer.operationId)).toEqual({
    'liquid wine': [added, 0, 0],
    'solids-dissolved wine': [-added, 0, 0],
  });
  const finding = await floor.get(`/v1/findings/${String(answer.findingId)}`);
  expect(finding).toMatchObject({ standing: 'of-record', method: { id: 'mixture' } });
  expect(finding.realExtract).toBeCloseTo(1.99062, 4);
  expect(answer.warnings).toEqual(expect.arrayContaining([expect.stringContaining('ferment again')]));
  await reportLines(floor);
  await holds(floor);
});

test('a flavouring brings its own alcohol out of its material lot', async () => {
  const { floor, vesselId, path } = await tank();
  const { materialLotId } = await materialLot(floor, AROMA, { volume: L(20) });
  const answer = await floor.post(path, {
    vesselId,
    purpose: 'flavouring',
    materialLotId,
    volume: L(5),
    occurredAt: AT,
  });
  expect(answer).toMatchObject({ booked: 'alcohol' });
  // 100 L × 10 % fermented, 5 L × 60 % added.
  expect(number(answer.pureAlcohol)).toBe(13);
  const change = number(answer.volumeChange);
  expect(await posted(floor, answer.operationId)).toEqual({
    'liquid wine': [expect.closeTo(5 + change, 6), 0, 3],
    'material materials': [-5, 0, -3],
    'used-as-material materials': [5, 0, 3],
    'used-as-material wine': [-5, 0, -3],
    'mixing-volume-change wine': [-change, 0, 0],
  });
  await reportLines(floor);

  const dosed = await floor.post(path, {
    vesselId,
    purpose: 'flavouring',
    materialLotId,
    dose: { per: 'litre-of-finished-drink', dose: { value: 12.5, unit: 'mL' } },
    occurredAt: '2026-03-11T09:00:00Z',
  });
  // 12.5 mL in each litre of what it becomes.
  expect(number(dosed.added) / number(dosed.volume)).toBeCloseTo(0.0125, 7);
  expect(number(dosed.pureAlcohol)).toBeCloseTo(13 + 0.6 * number(dosed.added), 5);
  await holds(floor);
});

test('sugar into a fermenting wash weighs into its original extract', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const vesselId = await floor.vessel('F');
  const lotId = await floor.lot('sugar-ferment');
  const { materialLotId } = await materialLot(floor, SUCROSE, { mass: kg(25) });
  await floor.gravity(lotId, 1.04, '2026-03-02T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(100), occurredAt: '2026-03-02T10:00:00Z' });
  const path = `/v1/lots/${lotId}/additions`;
  const added = await floor.post(path, {
    vesselId,
    purpose: 'sugar',
    materialLotId,
    mass: kg(3),
    occurredAt: '2026-03-03T09:00:00Z',
  });
  expect(added).toMatchObject({ booked: 'solid', inProcess: true });
  const fining = await materialLot(floor, { name: 'Finings', kind: 'fining' }, { mass: kg(1) });
  const negligible = await floor.post(path, {
    vesselId,
    purpose: 'fining',
    materialLotId: fining.materialLotId,
    mass: { value: 20, unit: 'g' },
    occurredAt: '2026-03-04T09:00:00Z',
  });
  // 0.02 kg in 106.8 kg: on record, without litres, and the composition is the same.
  expect(negligible).toMatchObject({ booked: 'negligible', compositionId: added.compositionId });
  expect(await posted(floor, negligible.operationId)).toEqual({});
  expect(await floor.get(`/v1/operations/${String(negligible.operationId)}`)).toMatchObject({
    document: { materials: [{ materialLotId: fining.materialLotId, mass: { value: 20, unit: 'g' } }] },
  });

  await floor.gravity(lotId, 0.9985, '2026-03-19T09:00:00Z');
  const finding = await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    occurredAt: '2026-03-20T09:00:00Z',
  });
  const { effectiveOriginalExtract: effective } = finding.inputs as { effectiveOriginalExtract: number };
  // 1.040 is 9.99 °P (published table), 1.0382 kg/L: 103.82 kg hold 10.37 kg; with 3 kg 13.37 in 106.82 kg, 12.52 °P.
  expect(effective).toBeCloseTo(12.52, 1);
  const direct = await floor.post(
    '/v1/calculations/strength',
    {
      method: 'mass-balance',
      originalGravity: { value: Number(effective.toFixed(9)), scale: 'plato' },
      finalGravity: { value: 0.9985, scale: 'sg-20-20' },
    },
    200,
  );
  expect(number(finding.strength)).toBeCloseTo(number(direct.strength), 6);
  // Sugar mass, vessel mass and both gravities stand in the budget.
  expect((finding.budget as { name: string }[]).map(({ name }) => name)).toEqual(
    expect.arrayContaining(['mass of addition 1', expect.stringContaining('mass in the vessel at addition 1')]),
  );
  await refused(
    floor,
    `/v1/lots/${lotId}/findings`,
    { method: 'gravity-drop-table', standing: 'supporting', occurredAt: '2026-03-21T09:00:00Z' },
    { code: 'method-not-applicable', rule: 'sugar-added' },
  );
  const lines = await reportLines(floor);
  expect(lines['sugar-ferment produced']).toBeCloseTo(100 + number(added.added), 6);
  await holds(floor);
});

test('after water a fermenting wash no longer answers to its original gravity', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const vesselId = await floor.vessel('F');
  const lotId = await floor.lot('sugar-ferment');
  await floor.gravity(lotId, 1.04, '2026-03-02T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(100), occurredAt: '2026-03-02T10:00:00Z' });
  const answer = await floor.post(`/v1/lots/${lotId}/additions`, {
    vesselId,
    purpose: 'chase-water',
    volume: L(5),
    occurredAt: '2026-03-03T09:00:00Z',
  });
  expect(answer).toMatchObject({ booked: 'liquid', inProcess: true });
  expect(await posted(floor, answer.operationId)).toMatchObject({ 'liquid-added sugar-ferment': [-5, 0, 0] });
  await floor.gravity(lotId, 0.9985, '2026-03-19T09:00:00Z');
  await refused(
    floor,
    `/v1/lots/${lotId}/findings`,
    { method: 'mass-balance', occurredAt: '2026-03-20T09:00:00Z' },
    { code: 'method-not-applicable', pointer: '/method' },
  );
  await holds(floor);
});

test('each bad addition says what is in the way, and stores nothing', async () => {
  const { floor, vesselId, path } = await tank();
  const sugar = await materialLot(floor, SUCROSE, { mass: kg(25) });
  const aroma = await materialLot(floor, AROMA, { volume: L(20) });
  const other = await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  await floor.post('/v1/periods', { premisesId: other.id, startsOn: '2026-03-01', endsBefore: '2026-04-01' });
  const far = await floor.post('/v1/material-lots', {
    materialId: sugar.materialId,
    premisesId: other.id,
    code: 'far',
    mass: kg(10),
    occurredAt: '2026-03-01T01:00:00Z',
  });
  const { materialLotId } = sugar;
  const base = { vesselId, purpose: 'sugar', materialLotId, occurredAt: AT };
  const no = (body: Record<string, unknown>, code: string, pointer: string, rule: string) =>
    refused(floor, path, body, { code, pointer, rule });
  await no({ ...base, mass: kg(1), volume: L(1) }, 'validation-failed', '/mass', 'one-of-three');
  await no({ ...base }, 'validation-failed', '/mass', 'one-of-three');
  await no({ ...base, materialLotId: undefined, mass: kg(1) }, 'validation-failed', '/materialLotId', 'required');
  await no({ ...base, purpose: 'fruit', mass: kg(1) }, 'validation-failed', '/solubleFraction', 'required');
  await no(
    { ...base, mass: kg(1), standardUncertainty: L(0.01) },
    'validation-failed',
    '/standardUncertainty/unit',
    'unit-of-amount',
  );
  await no(
    { ...base, mass: kg(1), standardUncertainty: { value: 1, unit: '%' } },
    'unit-unknown',
    '/standardUncertainty/unit',
    'unknown-unit',
  );
  await no({ ...base, materialLotId: far.id, mass: kg(1) }, 'conflict', '/materialLotId', 'other-premises');
  const flavour = { ...base, purpose: 'flavouring', materialLotId: aroma.materialLotId };
  await no({ ...flavour, mass: kg(1) }, 'validation-failed', '/mass', 'volume-needed');
  await no({ ...flavour, volume: L(20.5) }, 'insufficient-stock', '/volume', 'insufficient-stock');
  await no({ ...flavour, purpose: 'chase-water', volume: L(1) }, 'conflict', '/materialLotId', 'bears-alcohol');
  await no(
    { ...flavour, dose: { per: 'bottle', dose: { value: 5, unit: 'mL' } } },
    'validation-failed',
    '/dose/bottle',
    'bottle',
  );
  await no(
    { ...base, vesselId: await floor.vessel('E'), mass: kg(1) },
    'insufficient-stock',
    '/vesselId',
    'nothing-there',
  );
  await refused(
    floor,
    path,
    { ...base, planId: '018f0000-0000-7000-8000-000000000000', mass: kg(1) },
    {
      code: 'not-found',
      pointer: '/planId',
    },
  );
  await holds(floor);
});

test('an addition is not reversed while an entry without litres stands on what it made', async () => {
  const { floor, vesselId, path } = await tank();
  const { materialLotId } = await materialLot(floor, SUCROSE, { mass: kg(25) });
  const yeast = await materialLot(floor, { name: 'Yeast', kind: 'yeast' }, { mass: kg(1) });
  const sugar = await floor.post(path, { vesselId, purpose: 'sugar', materialLotId, mass: kg(2), occurredAt: AT });
  const pitched = await floor.post(path, {
    vesselId,
    purpose: 'other',
    materialLotId: yeast.materialLotId,
    mass: kg(0.05),
    occurredAt: '2026-03-10T10:00:00Z',
  });
  expect(pitched).toMatchObject({ booked: 'negligible' });
  const reversal = `/v1/operations/${String(sugar.operationId)}/reversal`;
  const wanted = { code: 'conflict', pointer: '', rule: 'rests-on-it' };
  const found = await refused(floor, reversal, { reasonCode: 'did-not-happen' }, wanted);
  expect(found).toMatchObject({ errors: [{ operation: pitched.operationId }] });
  // In the other order it works.
  await floor.post(`/v1/operations/${String(pitched.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  await floor.post(reversal, { reasonCode: 'did-not-happen' });
  await holds(floor);
});
