import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;
interface Found {
  id: string;
  standing: string;
  strength: { value: number };
  uncertainty: { standard: { value: number }; expanded: { value: number } };
  budget: { origin: string; contribution: number }[];
  readings: unknown[];
  warnings: string[];
  inputs: {
    findings: { findingId: string; weight: number; en: number }[];
    consistency: { consistent: boolean; misfit: string | null; degreesOfFreedom: number };
  };
}

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-10-30T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-10-01', '2026-11-01']]);
});
afterAll(() => service.stop());

/** A finished sugar wash with the gravities 1.040 and 0.998, not found yet. */
async function wash(name: string): Promise<string> {
  const lotId = await floor.lot('sugar-ferment');
  await floor.gravity(lotId, 1.04, '2026-10-01T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId: await floor.vessel(name),
    volume: { value: 200, unit: 'L' },
    occurredAt: '2026-10-01T10:00:00Z',
  });
  await floor.gravity(lotId, 0.998, '2026-10-12T09:00:00Z');
  await floor.gravity(lotId, 0.998, '2026-10-15T09:00:00Z');
  return lotId;
}
const find = async (lotId: string, body: Json): Promise<Found> =>
  (await floor.post(`/v1/lots/${lotId}/findings`, body)) as unknown as Found;
const certificate = (strength: number, laboratory: string): Json => ({
  method: 'certificate',
  standing: 'supporting',
  occurredAt: '2026-10-16T09:00:00Z',
  certificate: {
    strength: { value: strength, unit: '%' },
    expandedUncertainty: { value: 0.16, unit: '%' },
    coverageFactor: 2,
    laboratory,
  },
});
const at = { occurredAt: '2026-10-17T09:00:00Z' };

test('a mass balance and a certificate in one: weights by variance, u below both, of record', async () => {
  const lotId = await wash('J1');
  const balance = await find(lotId, { method: 'mass-balance', standing: 'supporting', ...at });
  const laboratory = await find(lotId, certificate(Math.round(balance.strength.value * 100) / 100, 'North'));
  const joined = await find(lotId, { method: 'joined', standing: 'of-record', ...at });
  // By hand: the two share no origin, so the weights are the inverse variances.
  const [u1, u2] = [balance, laboratory].map(({ uncertainty }) => uncertainty.standard.value);
  const w1 = u1 ** -2 / (u1 ** -2 + u2 ** -2);
  expect(joined.strength.value).toBeCloseTo(w1 * balance.strength.value + (1 - w1) * laboratory.strength.value, 8);
  expect(joined.uncertainty.standard.value).toBeCloseTo((u1 ** -2 + u2 ** -2) ** -0.5, 8);
  expect(joined.inputs.findings.map(({ findingId }) => findingId)).toEqual([balance.id, laboratory.id]);
  expect(joined.inputs.findings[0].weight).toBeCloseTo(w1, 8);
  expect(joined.inputs.consistency).toMatchObject({ consistent: true, misfit: null, degreesOfFreedom: 1 });
  expect(joined.readings).toEqual(balance.readings);
  expect(joined).toMatchObject({ standing: 'of-record', warnings: [] });
  // Kept as it was answered.
  expect(await floor.get(`/v1/findings/${joined.id}`)).toMatchObject({ inputs: joined.inputs, budget: joined.budget });
});

test('findings that disagree are not of record, and the one that fits least is named', async () => {
  const lotId = await wash('J2');
  const balance = await find(lotId, { method: 'mass-balance', standing: 'supporting', ...at });
  const good = await find(lotId, certificate(Math.round(balance.strength.value * 100) / 100, 'North'));
  const bad = await find(lotId, certificate(Math.round(balance.strength.value * 100 + 90) / 100, 'South'));
  const ask = { method: 'joined', findingIds: [balance.id, good.id, bad.id], ...at };
  const refused = await floor.post(`/v1/lots/${lotId}/findings`, { ...ask, standing: 'of-record' }, 422);
  expect(refused).toMatchObject({
    code: 'readings-disagree',
    errors: [{ pointer: '/findingIds', rule: 'findings-disagree' }],
  });
  expect(refused.detail).toMatch(/The certificate \(no\. 3\) fits least\./);
  const kept = await find(lotId, { ...ask, standing: 'supporting' });
  expect(kept.inputs.consistency).toMatchObject({ consistent: false, misfit: 'The certificate (no. 3)' });
  expect(kept.warnings).toHaveLength(1);
});

test('what cannot be joined is refused by name', async () => {
  const lotId = await wash('J3');
  const balance = await find(lotId, { method: 'mass-balance', standing: 'supporting', ...at });
  const other = await wash('J4');
  const foreign = await find(other, { method: 'mass-balance', standing: 'supporting', ...at });
  const ask = (body: Json, status: number): Promise<Json> =>
    floor.post(`/v1/lots/${lotId}/findings`, { method: 'joined', standing: 'supporting', ...at, ...body }, status);
  expect(await ask({}, 400)).toMatchObject({ errors: [{ rule: 'findings-needed' }] });
  expect(await ask({ findingIds: [balance.id] }, 422)).toMatchObject({ errors: [{ pointer: '/findingIds' }] });
  expect(await ask({ findingIds: [balance.id, foreign.id] }, 404)).toMatchObject({
    errors: [{ pointer: '/findingIds/1' }],
  });
  const again = await find(lotId, { method: 'mass-balance', standing: 'supporting', ...at });
  expect(await ask({ findingIds: [balance.id, again.id] }, 409)).toMatchObject({
    errors: [{ pointer: '/findingIds/1', rule: 'same-readings' }],
  });
});

test('a reading that a joined finding rests on is not corrected in one call', async () => {
  const lotId = await wash('J5');
  const balance = await find(lotId, { method: 'mass-balance', standing: 'supporting', ...at });
  await find(lotId, certificate(Math.round(balance.strength.value * 100) / 100, 'North'));
  await find(lotId, { method: 'joined', standing: 'of-record', ...at });
  const [{ readingId }] = balance.readings as { readingId: string }[];
  const refused = await floor.post(
    `/v1/readings/${readingId}/correction`,
    {
      reasonCode: 'misread',
      replacement: { kind: 'gravity', gravity: { value: 1.041, scale: 'sg-20-20' }, takenAt: '2026-10-01T09:00:00Z' },
    },
    409,
  );
  expect(refused).toMatchObject({ errors: [{ rule: 'joined-since' }] });
});
