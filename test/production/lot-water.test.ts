import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { SteppableClock } from '../../src/platform/clock.js';

type Json = Record<string, unknown>;
type Ions = Record<string, { value: number; unit: string }>;

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const mg = (value: number) => ({ value, unit: 'mg/L' });
const litres = (value: number) => ({ value, unit: 'L' });
const grams = (value: number) => ({ value, unit: 'g' });
const base = { calcium: mg(20), bicarbonate: mg(61) };

async function salt(floor: Floor, name: string, waterSalt: string): Promise<string> {
  const material = await floor.post('/v1/materials', { name, kind: 'water-salt', waterSalt });
  expect(material.waterSalt).toBe(waterSalt);
  const lot = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: name,
    mass: { value: 5, unit: 'kg' },
    occurredAt: '2026-03-01T08:00:00Z',
  });
  return String(lot.id);
}

test('salts of a charge and of an addition are counted to ions in the lot, beside the plan', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const recipe = await floor.post('/v1/recipes', {
    name: 'Seltzer base',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: litres(100),
      fermentables: [{ kind: 'dextrose-anhydrous', mass: { value: 9, unit: 'kg' } }],
      water: { base, salts: [{ salt: 'calcium-chloride-dihydrate', mass: grams(10) }] },
    },
  });
  const { expected } = recipe.latest as { expected: { waterIons: Ions } };
  // 100 mg/L CaCl2·2H2O of 147.01 g/mol: 27.26 Ca of 40.078, 48.23 Cl of 2 × 35.45.
  expect(expected.waterIons.calcium.value).toBeCloseTo(47.26, 1);
  expect(expected.waterIons.chloride.value).toBeCloseTo(48.23, 1);

  const chloride = await salt(floor, 'Calcium chloride, dihydrate', 'calcium-chloride-dihydrate');
  const gypsum = await salt(floor, 'Gypsum', 'calcium-sulfate-dihydrate');
  const vesselId = await floor.vessel('FV 1');
  const lotId = await floor.lot('sugar-ferment', { recipeVersion: { recipeId: recipe.id, number: 1 } });
  await floor.gravity(lotId, 1.036, '2026-03-02T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: litres(98),
    temperature: { value: 20, unit: 'Cel' },
    materials: [{ materialLotId: chloride, mass: grams(10) }],
    occurredAt: '2026-03-02T10:00:00Z',
  });
  const addition = await floor.post(`/v1/lots/${lotId}/additions`, {
    vesselId,
    purpose: 'water-salt',
    materialLotId: gypsum,
    mass: grams(7),
    occurredAt: '2026-03-03T10:00:00Z',
  });
  const water = (await floor.get(`/v1/lots/${lotId}/water`)) as Json & {
    added: Ions;
    ions: Ions;
    salts: { kind: string; waterSalt: string; volume: { value: number } }[];
    warnings: string[];
  };
  expect(water.salts.map(({ kind, waterSalt }) => [kind, waterSalt])).toEqual([
    ['charge', 'calcium-chloride-dihydrate'],
    ['addition', 'calcium-sulfate-dihydrate'],
  ]);
  const [charged, added] = water.salts.map(({ volume }) => volume.value);
  expect(charged).toBeCloseTo(98, 6);
  // 10 g and 7 g in what the vessel held: 0.2726 of CaCl2·2H2O and 0.2328 of CaSO4·2H2O (172.17 g/mol) are calcium.
  expect(water.added.calcium.value).toBeCloseTo((10_000 * 0.27262) / charged + (7000 * 0.23278) / added, 1);
  expect(water.added.sulfate.value).toBeCloseTo((7000 * 0.55794) / added, 1);
  expect(water.ions.calcium.value).toBeCloseTo(20 + water.added.calcium.value, 5);
  expect(water.ions.bicarbonate).toEqual(mg(61));
  expect(water.planned).toEqual(expected.waterIons);
  expect(water.warnings).toHaveLength(1);

  // What was reversed gave nothing.
  await floor.post(`/v1/operations/${String(addition.operationId)}/reversal`, { reasonCode: 'typing-error' });
  const after = (await floor.get(`/v1/lots/${lotId}/water`)) as unknown as { added: Ions; salts: unknown[] };
  expect(after.salts).toHaveLength(1);
  expect(after.added.sulfate).toEqual(mg(0));
});

test('a plan with more salt than water takes is refused at its place; an unknown lot is not found', async () => {
  const floor = await Floor.open(service, []);
  const plan = {
    kind: 'sugar-wash',
    volume: litres(10),
    water: { salts: [{ salt: 'sodium-chloride', mass: grams(500) }] },
  };
  const refused = await floor.post('/v1/recipes', { name: 'Brine', category: 'sugar-ferment', plan }, 422);
  expect(refused).toMatchObject({ code: 'out-of-range', errors: [{ pointer: '/plan/water/salts' }] });
  await floor.get('/v1/lots/018f0000-0000-7000-8000-000000000000/water', 404);
});
