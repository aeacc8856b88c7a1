import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;
interface Found {
  id: string;
  strength: { value: number };
  uncertainty: { standard: { value: number }; expanded: { value: number } };
  budget: { name: string; origin: string; contribution: number; value: number }[];
  inputs: {
    model: { kind: string; certificates?: number; certificatesOfRecipe?: number; relativeBias?: number };
    massBalance?: { strengthPercent: number; kind: string };
  };
}

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-10-30T08:00:00Z')) });
});
beforeEach(async () => {
  floor = await Floor.open(service, [['2026-10-01', '2026-11-01']]);
});
afterAll(() => service.stop());

const percent = (value: number): Json => ({ value: Math.round(value * 1000) / 1000, unit: '%' });

/** A finished sugar wash of 200 L, not found yet, and the ids of its two gravities. */
async function wash(name: string): Promise<{ lotId: string; originalId: string; finalId: string }> {
  const lotId = await floor.lot('sugar-ferment');
  const originalId = await floor.gravity(lotId, 1.04, '2026-10-01T09:00:00Z', {
    sampleTemperature: { value: 20, unit: 'Cel' },
  });
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId: await floor.vessel(name),
    volume: { value: 200, unit: 'L' },
    occurredAt: '2026-10-01T10:00:00Z',
  });
  const finalId = await floor.gravity(lotId, 0.998, '2026-10-15T09:00:00Z', {
    sampleTemperature: { value: 20, unit: 'Cel' },
  });
  return { lotId, originalId, finalId };
}

const find = async (lotId: string, body: Json): Promise<Found> =>
  (await floor.post(`/v1/lots/${lotId}/findings`, {
    standing: 'supporting',
    occurredAt: '2026-10-16T09:00:00Z',
    ...body,
  })) as unknown as Found;
const certified = (lotId: string, strength: number, laboratory: string): Promise<Found> =>
  find(lotId, {
    method: 'certificate',
    certificate: { strength: percent(strength), expandedUncertainty: percent(0.08), coverageFactor: 2, laboratory },
  });
const modelLine = ({ budget }: Found): Found['budget'][number] | undefined =>
  budget.find(({ name }) => name.startsWith('model'));

test('certificates of five lots narrow the mass balance of the sixth, and the answer counts them', async () => {
  const first = await wash('M0');
  const plain = await find(first.lotId, { method: 'mass-balance' });
  expect(plain.inputs.model).toEqual({ kind: 'sugar', origin: 'model/no-recipe' });
  // Certificates 1.5 % above the balance, each of another laboratory.
  for (const i of [1, 2, 3, 4, 5]) {
    const { lotId } = await wash(`M${i}`);
    const given = await certified(lotId, plain.strength.value * 1.015, `Laboratory ${i}`);
    expect(given.inputs.massBalance?.strengthPercent).toBeCloseTo(plain.strength.value, 8);
  }
  const learned = await find(first.lotId, { method: 'mass-balance' });
  expect(learned.inputs.model).toMatchObject({ kind: 'certificates', certificates: 5, certificatesOfRecipe: 5 });
  expect(modelLine(learned)?.name).toBe('model, learned from 5 certificates');
  expect(learned.uncertainty.expanded.value).toBeLessThan(0.75 * plain.uncertainty.expanded.value);
  // Most of the 1.5 % is taken over: it moves the strength by less than that, and by more than half of it.
  const shift = learned.strength.value / plain.strength.value - 1;
  expect(shift).toBeGreaterThan(0.0075);
  expect(shift).toBeLessThan(0.015);
  expect(await floor.get(`/v1/findings/${learned.id}`)).toMatchObject({ inputs: learned.inputs });
});

test('a lot does not learn from its own certificate, nor from one whose reading was struck, nor from one without gravities', async () => {
  const own = await wash('N0');
  await certified(own.lotId, 5.6, 'North');
  expect((await find(own.lotId, { method: 'mass-balance' })).inputs.model.kind).toBe('sugar');
  const struck = await wash('N3');
  await certified(struck.lotId, 5.6, 'North');
  const other = await wash('N1');
  expect((await find(other.lotId, { method: 'mass-balance' })).inputs.model).toMatchObject({ certificates: 2 });
  // Nothing but the certificate rests on the reading: it is struck and entered again.
  await floor.post(`/v1/readings/${struck.finalId}/strike`, {
    reasonCode: 'misread',
    replacement: {
      kind: 'gravity',
      gravity: { value: 0.999, scale: 'sg-20-20' },
      takenAt: '2026-10-15T09:00:00Z',
    },
  });
  expect((await find(other.lotId, { method: 'mass-balance' })).inputs.model).toMatchObject({ certificates: 1 });
  const bare = await floor.lot('sugar-ferment');
  await floor.post(`/v1/lots/${bare}/charges`, {
    vesselId: await floor.vessel('N2'),
    volume: { value: 50, unit: 'L' },
    occurredAt: '2026-10-01T10:00:00Z',
  });
  expect((await certified(bare, 5.5, 'North')).inputs.massBalance).toBeUndefined();
});
