import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import type { Json } from './changes-world.js';
import { holds, L, number, percent, refused } from './changes-world.js';

let service: TestService;
const AT = '2026-03-10T09:00:00Z';
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

async function tanks() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const tank = (vessel: string, litres: number, strength: number) => ({
    vessel,
    category: 'wine',
    litres,
    volumeU: 0.5,
    percent: strength,
    strengthU: 0.1,
  });
  const { lots, vessels } = await openStock(floor, '2026-03-01T00:00:00Z', [tank('A', 100, 10), tank('B', 50, 5)], []);
  return { floor, lotId: lots[0], lots, vessels, path: `/v1/lots/${lots[0]}/plans` };
}

test('a dilution is planned, then done as planned; both stay on record', async () => {
  const { floor, lotId, vessels, path } = await tanks();
  const before = await floor.get('/v1/operations');
  const plan = await floor.post(path, {
    kind: 'dilution',
    dilution: { vesselId: vessels[0], targetStrength: percent(5) },
    declaredStrength: percent(5),
  });
  const computed = plan.computed as Json & { labelCheck: { probability: number; decision: string } };
  expect(number(computed.pureAlcohol)).toBe(10);
  // 10 L of pure alcohol at 5 % are 200 L.
  expect(number(computed.volume)).toBeCloseTo(200, 4);
  // u of the strength: 0.1 of 10 % is 1 %, so 0.05 % vol of 5; the volumes' 0.5 L in 100 and 0.29 % of 100 L of water add a quarter of a per
  // cent each: 0.05² + (5 × 0.0025)² + (5 × 0.00144)² = 0.052². Within ± 0.3 % vol that is as good as certain.
  expect((computed.expandedUncertainty as { value: number }).value).toBeCloseTo(1.96 * 0.052, 2);
  expect(computed.labelCheck.decision).toBe('conforms');
  expect(computed.labelCheck.probability).toBeGreaterThan(0.9999);
  expect(await floor.get('/v1/operations')).toEqual(before);

  const operation = await floor.post(`/v1/lots/${lotId}/dilutions`, {
    vesselId: vessels[0],
    water: L(101),
    planId: plan.id,
    occurredAt: AT,
  });
  // It went a litre further than planned, and both are to be seen.
  expect(number(operation.strength)).toBeLessThan(5);
  expect(await floor.get(`/v1/plans/${String(plan.id)}`)).toMatchObject({
    kind: 'dilution',
    lotId,
    requested: { targetStrength: percent(5), declaredStrength: percent(5) },
    operations: [operation.operationId],
  });
  expect(((await floor.get(path)).items as unknown[]).length).toBe(1);
  await holds(floor);
});

test('a plan computes what the operation then does: blend and addition', async () => {
  const { floor, lots, vessels, path } = await tanks();
  const components = [{ vesselId: vessels[0], volume: L(20) }, { vesselId: vessels[1] }];
  const blend = await floor.post(path, {
    kind: 'blend',
    blend: { vesselId: vessels[1], components },
    declaredStrength: percent(7),
  });
  const done = await floor.post('/v1/blends', {
    lotId: lots[0],
    vesselId: vessels[1],
    components,
    planId: blend.id,
    occurredAt: AT,
  });
  const planned = blend.computed as Json & { labelCheck: Json };
  // 20 L × 10 % + 50 L × 5 % = 4.5 L in 70 L, 6.43 %: 0.57 from the label, so outside its 0.3.
  expect(number(planned.pureAlcohol)).toBe(4.5);
  expect(planned.labelCheck.decision).toBe('does-not-conform');
  for (const measure of ['volume', 'pureAlcohol', 'strength', 'volumeChange']) {
    expect(number(planned[measure])).toBeCloseTo(number(done[measure]), 9);
  }
  const water = { vesselId: vessels[0], purpose: 'chase-water', volume: L(10) };
  const addition = await floor.post(path, { kind: 'addition', addition: water });
  const added = await floor.post(`/v1/lots/${lots[0]}/additions`, {
    ...water,
    planId: addition.id,
    occurredAt: '2026-03-11T09:00:00Z',
  });
  expect(number((addition.computed as Json).volume)).toBeCloseTo(number(added.volume), 9);
  await holds(floor);
});

test('carbonation is planned with its pressure and its cautions', async () => {
  const { floor, vessels, path } = await tanks();
  const plan = await floor.post(path, {
    kind: 'carbonation',
    carbonation: { vesselId: vessels[0], temperature: { value: 4, unit: 'Cel' }, volumesOfCO2: 2.5 },
  });
  const { gas, warnings } = plan.computed as { gas: Json; warnings: string[] };
  const direct = await floor.post(
    '/v1/calculations/carbonation',
    { temperature: { value: 4, unit: 'Cel' }, volumesOfCO2: 2.5, strength: percent(10) },
    200,
  );
  expect(number(gas.gaugePressure)).toBeCloseTo(number(direct.gaugePressure), 9);
  // 2.5 volumes of 1.9767 g.
  expect(number(gas.dissolved)).toBeCloseTo(2.5 * 1.9767, 9);
  expect(warnings.join(' ')).toMatch(/bursts above its rated pressure/);
  await holds(floor);
});

test('each bad plan says what is in the way, and stores nothing', async () => {
  const { floor, lotId, lots, vessels, path } = await tanks();
  const dilution = { vesselId: vessels[0], targetStrength: percent(5) };
  await refused(
    floor,
    path,
    { kind: 'dilution' },
    { code: 'validation-failed', pointer: '/dilution', rule: 'as-kind' },
  );
  await refused(
    floor,
    path,
    { kind: 'blend', dilution },
    { code: 'validation-failed', pointer: '/blend', rule: 'as-kind' },
  );
  await refused(
    floor,
    path,
    { kind: 'dilution', dilution: { ...dilution, occurredAt: AT } },
    { code: 'validation-failed', pointer: '/dilution/occurredAt' },
  );
  await refused(
    floor,
    path,
    { kind: 'dilution', dilution: { ...dilution, water: L(1) } },
    { code: 'validation-failed', rule: 'one-of-two' },
  );
  await refused(
    floor,
    path,
    { kind: 'dilution', dilution: { vesselId: vessels[0], targetStrength: percent(20) } },
    { code: 'not-computable' },
  );
  await refused(
    floor,
    path,
    { kind: 'dilution', dilution: { ...dilution, vesselId: vessels[1] } },
    { code: 'insufficient-stock', rule: 'nothing-there' },
  );
  const plan = await floor.post(path, { kind: 'dilution', dilution });
  const operation = { vesselId: vessels[1], water: L(1), planId: plan.id, occurredAt: AT };
  await refused(floor, `/v1/lots/${lots[1]}/dilutions`, operation, {
    code: 'conflict',
    pointer: '/planId',
    rule: 'other-plan',
  });
  await refused(
    floor,
    `/v1/lots/${lotId}/additions`,
    { vesselId: vessels[0], purpose: 'chase-water', volume: L(1), planId: plan.id, occurredAt: AT },
    { code: 'conflict', pointer: '/planId', rule: 'other-plan' },
  );
  await holds(floor);
});
