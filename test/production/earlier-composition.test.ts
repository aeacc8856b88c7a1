import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { APRIL, APRIL_2, MARCH } from '../support/full-producer.js';
import { TestService } from '../support/service.js';
import type { Json } from './changes-world.js';
import { holds, kg, L, materialLot, number, percent, posted, refused, reportLines } from './changes-world.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
});
afterAll(() => service.stop());

const mL = (value: number) => ({ value, unit: 'mL' });
const day = (of: number, hour = 9): string =>
  `2026-03-${String(of).padStart(2, '0')}T${String(hour).padStart(2, '0')}:00:00Z`;

/** A wash of 100 L that began at 1.040, with a liquid nutrient and finings at hand. */
async function wash() {
  const floor = await Floor.open(service, [MARCH, APRIL]);
  const finings = await materialLot(floor, { name: 'Finings', kind: 'fining' }, { volume: L(5) });
  const nutrient = await materialLot(floor, { name: 'Nutrient', kind: 'nutrient' }, { volume: L(10) });
  const vesselId = await floor.vessel('FV1');
  const lotId = await floor.lot();
  await floor.gravity(lotId, 1.04, day(2));
  const charged = await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(100), occurredAt: day(2, 10) });
  const add = (purpose: string, materialLotId: string, volume: Json, of: number, more: Json = {}) =>
    floor.post(`/v1/lots/${lotId}/additions`, {
      vesselId,
      purpose,
      materialLotId,
      volume,
      occurredAt: day(of),
      ...more,
    });
  return {
    floor,
    vesselId,
    lotId,
    first: String(charged.compositionId),
    finings: finings.materialLotId,
    nutrient: nutrient.materialLotId,
    add,
    find: (body: Json, status = 201) =>
      floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', ...body }, status),
  };
}

test('liquid finings and nutrient up to 0.1 % of the mass leave the composition and its original gravity as they are', async () => {
  const { floor, lotId, first, finings, nutrient, add, find } = await wash();
  const fined = await add('fining', finings, mL(50), 5);
  expect(fined).toMatchObject({ booked: 'negligible', compositionId: first, added: L(0), flags: [] });
  expect(await posted(floor, fined.operationId)).toEqual({});
  await add('nutrient', nutrient, mL(26), 6);
  await floor.gravity(lotId, 1, day(12));
  expect(await find({ occurredAt: day(13) })).toMatchObject({ compositionId: first, standing: 'of-record' });
  await holds(floor);
});

test('one rule for both: at 0.1 % of the mass a liquid and a solid are negligible, above it neither is', async () => {
  // R 22: alcohol-water of 10 % vol weighs 984.710 kg/m³ at 20 °C, so 100 L weigh 98.4710 kg and 0.1 % is 98.4710 g. Water weighs 998.203 g/L.
  const floor = await Floor.open(service, [MARCH, APRIL]);
  const tank = { vessel: 'A', category: 'wine', litres: 100, volumeU: 0.5, percent: 10, strengthU: 0.1 };
  const { lots, vessels } = await openStock(floor, '2026-03-01T00:00:00Z', [tank], []);
  const liquid = await materialLot(floor, { name: 'Finings', kind: 'fining' }, { volume: L(5) });
  const solid = await materialLot(floor, { name: 'Acid', kind: 'acid' }, { mass: kg(5) });
  const add = (materialLotId: string, more: Json) =>
    floor.post(`/v1/lots/${lots[0]}/additions`, {
      vesselId: vessels[0],
      purpose: 'fining',
      materialLotId,
      occurredAt: day(10),
      ...more,
    });
  expect(98.471 / 0.998203).toBeCloseTo(98.648, 3);
  expect((await add(liquid.materialLotId, { volume: mL(98.64) })).booked).toBe('negligible');
  expect((await add(solid.materialLotId, { mass: { value: 98.46, unit: 'g' } })).booked).toBe('negligible');
  expect((await add(liquid.materialLotId, { volume: mL(98.66) })).booked).toBe('liquid');
  expect((await add(solid.materialLotId, { mass: { value: 98.6, unit: 'g' } })).booked).toBe('solid');
  // Sugar is never negligible: it ferments.
  expect((await add(liquid.materialLotId, { purpose: 'sugar', volume: mL(10), extract: 60 })).booked).toBe('liquid');
});

test('an addition that ends the original gravity says so; a finding of what was there before brings the books right', async () => {
  const { floor, lotId, vesselId, first, nutrient, add, find } = await wash();
  await floor.gravity(lotId, 1, day(10));
  const added = await add('nutrient', nutrient, L(2), 11);
  expect(added).toMatchObject({ booked: 'liquid', flags: [{ code: 'original-gravity-ended' }] });
  const [{ detail }] = added.flags as { detail: string }[];
  expect(detail).toContain(`compositionId ${first}`);
  const second = String(added.compositionId);
  // A gravity of the mixture is none of what was there before; the method is refused for the mixture itself.
  await floor.gravity(lotId, 0.9999, day(12));
  await refused(
    floor,
    `/v1/lots/${lotId}/findings`,
    { method: 'mass-balance', occurredAt: day(13) },
    {
      code: 'method-not-applicable',
      pointer: '/method',
    },
  );
  const found = await find({ compositionId: first, standing: 'provisional', occurredAt: day(13) });
  const strength = number(found.strength);
  expect(found).toMatchObject({ compositionId: first, standing: 'provisional' });
  // Of 1.040 to 1.000: some 5.2 % vol (26.4 points × 0.00131 % a point by the rule of thumb gives 5.24).
  expect(strength).toBeCloseTo(5.2, 0);
  // 100 L of it are in the vessel, diluted by 2 L; the alcohol is that of the 100 L.
  const litres = number(added.volume);
  const alcohol = Number(strength.toFixed(12));
  const account = async () =>
    (
      (await floor.get('/v1/accounts?limit=200')).items as {
        vesselId?: string;
        litres: Json;
        litresOfPureAlcohol: Json;
      }[]
    )
      .filter((each) => each.vesselId === vesselId && number(each.litres) > 0)
      .map((each) => [number(each.litres), number(each.litresOfPureAlcohol)]);
  expect(await account()).toEqual([[litres, expect.closeTo(alcohol, 5)]]);
  const restatement = found.restatement as { change: Json; inStock: Json[]; findings: Json[] };
  expect(restatement).toMatchObject({ change: percent(strength), outflows: [] });
  expect(restatement.findings).toMatchObject([{ compositionId: second }]);
  expect(restatement.findings[0].restates).toBeUndefined();
  expect(number(restatement.findings[0].strength)).toBeCloseTo((100 * alcohol) / litres, 6);
  // The same of record: the lot has finished, as the mixture has, and can be diluted.
  const final = await find({ compositionId: first, finalReadingId: undefined, occurredAt: day(14) });
  expect(final).toMatchObject({ standing: 'of-record', strength: percent(strength) });
  expect(await account()).toEqual([[litres, expect.closeTo(alcohol, 5)]]);
  const lines = await reportLines(floor);
  expect(lines['sugar-ferment produced']).toBeCloseTo(litres, 6);
  await floor.post(`/v1/lots/${lotId}/dilutions`, { vesselId, water: L(1), occurredAt: day(15) });
  // A certificate of the sample from before puts it right down to the dilution.
  const certificate = { strength: percent(5), expandedUncertainty: { value: 0.1, unit: '%' }, coverageFactor: 2 };
  const right = await find({ method: 'certificate', certificate, compositionId: first, occurredAt: day(16) });
  expect(right.restatement).toMatchObject({ change: { unit: '%' } });
  const [[, now]] = await account();
  expect(now).toBeCloseTo(5, 5);
  await holds(floor);
});

test('a finding of a composition that was blended away is refused as before', async () => {
  const { floor, lotId, vesselId, first, find } = await wash();
  const other = await floor.finishedLot(await floor.vessel('FV2'), {
    litres: 50,
    original: 1.04,
    final: 1,
    day: '2026-03-02',
    finishedDay: '2026-03-10',
  });
  const vessels = (await floor.get('/v1/vessels')).items as { id: string; name: string }[];
  const from = [vesselId, String(vessels.find(({ name }) => name === 'FV2')?.id)];
  await floor.post('/v1/blends', {
    lotId: other,
    vesselId: await floor.vessel('T1'),
    components: from.map((id) => ({ vesselId: id })),
    occurredAt: day(12),
  });
  await floor.gravity(lotId, 1, day(11));
  const refusedFinding = await find({ compositionId: first, occurredAt: day(13) }, 409);
  expect(refusedFinding.code).toBe('conflict');
});
