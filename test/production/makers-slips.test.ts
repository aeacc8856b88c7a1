import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import type { ProblemBody } from '../support/problem.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;
interface Flag {
  code: string;
  detail: string;
}

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-11-29T08:00:00Z')) });
  floor = await Floor.open(service, [
    ['2026-10-01', '2026-11-01'],
    ['2026-11-01', '2026-12-01'],
  ]);
});
afterAll(() => service.stop());

const codesOf = (answer: Json): string[] => ((answer.flags ?? []) as Flag[]).map(({ code }) => code);
const strengthOf = (answer: Json): number => (answer.strength as { value: number }).value;

async function refused(path: string, body: Json): Promise<ProblemBody> {
  const before = await service.rowCounts();
  const problem = problemOf(await service.call('post', path, { key: floor.key, body }));
  expect(await service.rowCounts()).toEqual(before);
  return problem;
}

let made = 0;
async function charged(day: string, more: Json = {}): Promise<{ lotId: string; vesselId: string }> {
  made += 1;
  const lotId = await floor.lot('sugar-ferment', more);
  const vesselId = await floor.vessel(`FV ${made}`);
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: { value: 200, unit: 'L' },
    occurredAt: `${day}T09:00:00+01:00`,
  });
  return { lotId, vesselId };
}

/** A lot planned at 1.0386: 20 kg of sucrose in 200 L. */
async function recipeVersion(): Promise<string> {
  const recipe = await floor.post('/v1/recipes', {
    name: 'Sugar ferment (invented)',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: { value: 200, unit: 'L' },
      fermentables: [{ kind: 'sucrose', mass: { value: 20, unit: 'kg' } }],
      finalGravity: { value: 0.996, scale: 'sg-20-20' },
    },
  });
  return (recipe.latest as { id: string }).id;
}

async function calibrated(name: string, kind: string, scale: string): Promise<string> {
  const { id } = await floor.post('/v1/instruments', { name, kind, scale });
  await floor.post(`/v1/instruments/${String(id)}/calibrations`, {
    performedOn: '2026-09-01',
    validUntil: '2027-08-31',
    regions: [{ from: 0.98, to: 1.06, correction: 0, standardUncertainty: 0.0002 }],
  });
  return String(id);
}

describe('a finding at a moment', () => {
  let lotId: string;
  let later: string;
  beforeAll(async () => {
    ({ lotId } = await charged('2026-10-01'));
    await floor.gravity(lotId, 1.038, '2026-10-01T10:00:00+01:00');
    await floor.gravity(lotId, 1.018, '2026-10-04T10:00:00+01:00');
    later = await floor.gravity(lotId, 0.996, '2026-10-12T10:00:00+01:00');
  });

  test('rests on the readings up to it', async () => {
    const path = `/v1/lots/${lotId}/findings`;
    const found = await floor.post(path, {
      method: 'mass-balance',
      standing: 'provisional',
      occurredAt: '2026-10-05T12:00:00+01:00',
    });
    // 1.038 to 1.018: 20 points × 131.25 (Balling’s rule of thumb, within 0.2 % vol at this strength) is 2.6 % vol.
    expect(Math.abs(strengthOf(found) - 2.6)).toBeLessThan(0.2);
    expect((found.readings as { readingId: string }[]).map(({ readingId }) => readingId)).not.toContain(later);
  });

  test('names no reading of its future', async () => {
    const problem = await refused(`/v1/lots/${lotId}/findings`, {
      method: 'mass-balance',
      finalReadingId: later,
      occurredAt: '2026-10-06T12:00:00+01:00',
    });
    expect(problem).toMatchObject({
      status: 409,
      errors: [{ pointer: '/finalReadingId', rule: 'reading-after-finding' }],
    });
    expect(problem.detail).toBe(
      'The reading was taken on 12 October 2026 at 10:00, after the moment of the finding, 6 October 2026 at 12:00. Give a later occurredAt, or name an earlier reading.',
    );
  });

  test('is refused where too few were taken by then', async () => {
    const problem = await refused(`/v1/lots/${lotId}/findings`, {
      method: 'mass-balance',
      occurredAt: '2026-10-02T12:00:00+01:00',
    });
    expect(problem).toMatchObject({ status: 400, errors: [{ rule: 'readings-needed' }] });
    expect(problem.detail).toContain('Only gravities that were taken up to its moment count');
  });
});

describe('two originals', () => {
  let refractometer: string;
  let hydrometer: string;
  beforeAll(async () => {
    refractometer = String(
      (await floor.post('/v1/instruments', { name: 'R1', kind: 'refractometer', scale: 'plato' })).id,
    );
    hydrometer = await calibrated('H1', 'hydrometer', 'sg-20-20');
  });
  async function lotWith(original: number): Promise<string> {
    const { lotId } = await charged('2026-10-01');
    await floor.post(`/v1/lots/${lotId}/readings`, {
      kind: 'gravity',
      gravity: { value: 9, scale: 'plato' },
      instrumentId: refractometer,
      takenAt: '2026-10-01T10:30:00+01:00',
    });
    await floor.gravity(lotId, original, '2026-10-01T10:40:00+01:00', { instrumentId: hydrometer });
    await floor.gravity(lotId, 0.998, '2026-10-12T10:00:00+01:00', { instrumentId: hydrometer });
    return lotId;
  }

  test('that disagree: the calibrated hydrometer is taken, and both are named', async () => {
    const lotId = await lotWith(1.034);
    const path = `/v1/lots/${lotId}/findings`;
    const found = await floor.post(path, { method: 'mass-balance', standing: 'supporting' });
    expect(codesOf(found)).toContain('originals-disagree');
    const detail =
      'Two readings of the original gravity differ by more than their uncertainty: 1.0340 read on 1 October 2026 at 10:40 by hydrometer, and 9.0 °P read on 1 October 2026 at 10:30 by refractometer. The former is taken.';
    expect(found.warnings).toContain(detail);
    const [original] = await Promise.all([floor.get(`/v1/lots/${lotId}/readings`)]);
    const byHydrometer = (original.items as { id: string; instrumentId: string }[])[1];
    expect(found.readings).toContainEqual({ readingId: byHydrometer.id, use: 'original' });
  });

  test('that agree: the first is taken, without a remark', async () => {
    // 1.0359 is 9.0 °P (Plato's table: 9 °P is 1.0359).
    const found = await floor.post(`/v1/lots/${await lotWith(1.0359)}/findings`, {
      method: 'mass-balance',
      standing: 'supporting',
    });
    expect(codesOf(found)).not.toContain('originals-disagree');
  });
});

describe('readings that cannot be right', () => {
  test('one from long before the charge is flagged, and used neither by a finding nor by the list of what wants a person', async () => {
    const { lotId } = await charged('2026-10-10');
    const early = await floor.post(`/v1/lots/${lotId}/readings`, {
      kind: 'gravity',
      gravity: { value: 1.03, scale: 'sg-20-20' },
      takenAt: '2026-10-01T10:00:00+01:00',
    });
    expect(codesOf(early)).toContain('before-charge');
    await floor.gravity(lotId, 1.038, '2026-10-10T10:00:00+01:00');
    const attention = await floor.get('/v1/attention?code=fermentation-stalled');
    expect(attention.items).toEqual([]);
    await floor.gravity(lotId, 0.998, '2026-10-20T10:00:00+01:00');
    const found = await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', standing: 'supporting' });
    expect((found.readings as { readingId: string }[]).map(({ readingId }) => readingId)).not.toContain(early.id);
    // A gravity of the mixing vessel, an hour before the charge, is none of these.
    const sameDay = await charged('2026-10-11');
    const mixed = await floor.post(`/v1/lots/${sameDay.lotId}/readings`, {
      kind: 'gravity',
      gravity: { value: 1.038, scale: 'sg-20-20' },
      takenAt: '2026-10-11T08:00:00+01:00',
    });
    expect(codesOf(mixed)).not.toContain('before-charge');
  });

  test('an original a tenth off its plan is flagged, the second one too', async () => {
    const { lotId } = await charged('2026-10-01', { recipeVersionId: await recipeVersion() });
    const read = (value: number, scale: string, minute: number): Promise<Json> =>
      floor.post(`/v1/lots/${lotId}/readings`, {
        kind: 'gravity',
        gravity: { value, scale },
        takenAt: `2026-10-01T10:${minute}:00+01:00`,
      });
    expect(codesOf(await read(9, 'plato', 30))).not.toContain('original-far-from-plan');
    // 1.034 is 8.53 °P and the plan 9.6 °P: a tenth of it is 0.96 °P.
    expect(codesOf(await read(1.034, 'sg-20-20', 40))).toContain('original-far-from-plan');
  });

  test('a final gravity that leaves no extract is flagged, and the refusal names both readings', async () => {
    const { lotId } = await charged('2026-10-01');
    await floor.gravity(lotId, 1.034, '2026-10-01T10:00:00+01:00');
    const dry = await floor.post(`/v1/lots/${lotId}/readings`, {
      kind: 'gravity',
      gravity: { value: 0.996, scale: 'sg-20-20' },
      takenAt: '2026-10-10T10:00:00+01:00',
    });
    expect(codesOf(dry)).not.toContain('extract-below-zero');
    const low = await floor.post(`/v1/lots/${lotId}/readings`, {
      kind: 'gravity',
      gravity: { value: 0.988, scale: 'sg-20-20' },
      takenAt: '2026-10-12T10:00:00+01:00',
    });
    expect(codesOf(low)).toContain('extract-below-zero');
    const problem = await refused(`/v1/lots/${lotId}/findings`, { method: 'mass-balance' });
    expect(problem).toMatchObject({ status: 422, code: 'readings-disagree', errors: [{ pointer: '/finalReadingId' }] });
    expect(problem.detail).toContain('1.0340 read on 1 October 2026 at 10:00');
    expect(problem.detail).toContain('0.9880 read on 12 October 2026 at 10:00');
  });
});

describe('a spirit', () => {
  const receive = (materialId: unknown, strength?: number): Json => ({
    materialId,
    premisesId: floor.premisesId,
    code: 'SP-1',
    volume: { value: 10, unit: 'L' },
    ...(strength === undefined ? {} : { strength: { value: strength, unit: '%' } }),
    occurredAt: '2026-10-01T08:00:00+01:00',
  });

  test('is asked for its strength where nothing gives one', async () => {
    const spirit = await floor.post('/v1/materials', { name: 'Spirit, strength unknown', kind: 'spirit' });
    const problem = await refused('/v1/material-lots', receive(spirit.id));
    expect(problem).toMatchObject({ status: 400, errors: [{ pointer: '/strength', rule: 'strength-needed' }] });
    expect(await floor.post('/v1/material-lots', receive(spirit.id, 96))).toHaveProperty('operationId');
  });

  test('of a hundredth of its strength is asked about', async () => {
    const strength = { value: 96, unit: '%' };
    const spirit = await floor.post('/v1/materials', { name: 'Spirit of 96 %', kind: 'spirit', strength });
    const problem = await refused('/v1/material-lots', receive(spirit.id, 0.96));
    expect(problem.errors).toMatchObject([{ pointer: '/strength', rule: 'strength-far-off', suggestion: '96' }]);
    expect(problem.detail).toContain('Did you mean 96?');
    // A tenth is the edge: 9.6 % is taken.
    expect(await floor.post('/v1/material-lots', receive(spirit.id, 9.6))).toHaveProperty('operationId');
  });
});

test('a label far off says so by another code than one in doubt', async () => {
  const { lotId, vesselId } = await charged('2026-10-02');
  await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'certificate',
    certificate: {
      strength: { value: 5.3, unit: '%' },
      expandedUncertainty: { value: 0.1, unit: '%' },
      coverageFactor: 2,
    },
    occurredAt: '2026-10-12T09:00:00+01:00',
  });
  const packed = async (declared: number, lotMark: string): Promise<Json> =>
    floor.post(`/v1/lots/${lotId}/packagings`, {
      vesselId,
      container: 'bottle',
      nominalVolume: { value: 330, unit: 'mL' },
      count: 30,
      lotMark,
      declaredStrength: { value: declared, unit: '%' },
      packagedOn: '2026-10-13',
      occurredAt: '2026-10-13T09:00:00+01:00',
    });
  const far = await packed(53, 'FAR-1');
  expect(codesOf(far)).toContain('label-does-not-hold');
  expect(codesOf(far)).not.toContain('label-in-doubt');
  expect((far.labelCheck as { decision: string }).decision).toBe('does-not-conform');
  const attention = await floor.get('/v1/attention?code=label-does-not-hold');
  expect((attention.items as { detail: string }[]).map(({ detail }) => detail)).toEqual([
    expect.stringContaining('FAR-1') as string,
  ]);
});

test('a name that exists at the premises is flagged', async () => {
  const twin = (name: string): Promise<Json> =>
    floor.post('/v1/vessels', { premisesId: floor.premisesId, name, kind: 'fermenter' });
  const first = await twin('FV-twin');
  expect(first).not.toHaveProperty('flags');
  const second = await twin('fv-TWIN');
  expect(codesOf(second)).toEqual(['name-in-use']);
  expect((second.flags as Flag[])[0].detail).toContain(`/v1/vessels/${String(first.id)}`);
  const sugar = await floor.post('/v1/materials', { name: 'Dextrose', kind: 'sugar' });
  const delivery = (): Promise<Json> =>
    floor.post('/v1/material-lots', {
      materialId: sugar.id,
      premisesId: floor.premisesId,
      code: 'SUG-1',
      mass: { value: 25, unit: 'kg' },
      occurredAt: '2026-10-01T08:00:00+01:00',
    });
  expect(await delivery()).not.toHaveProperty('flags');
  expect(codesOf(await delivery())).toContain('name-in-use');
});

describe('words', () => {
  test.each<[string, string, () => Json, string, string]>([
    [
      'a property that ends like another',
      '/v1/periods',
      () => ({ premisesId: floor.premisesId, startsOn: '2026-12-01', endsOn: '2026-12-31' }),
      '/endsOn',
      'endsBefore',
    ],
    [
      'a property in small letters',
      '/v1/vessels',
      () => ({ premisesId: floor.premisesId, name: 'X', kind: 'tank', capacitty: { value: 1, unit: 'L' } }),
      '/capacitty',
      'capacity',
    ],
    [
      'a kind of movement by its usual name',
      '/v1/movements',
      () => ({ kind: 'sale', packagedLotId: floor.premisesId, count: 1 }),
      '/kind',
      'release',
    ],
    [
      'a vessel of a kind that is mistyped',
      '/v1/vessels',
      () => ({ premisesId: floor.premisesId, name: 'X', kind: 'fermentor' }),
      '/kind',
      'fermenter',
    ],
  ])('%s', async (_, path, body, pointer, suggestion) => {
    const problem = await refused(path, body());
    const error = problem.errors?.find((each) => each.pointer === pointer);
    expect(error).toMatchObject({
      suggestion,
      detail: expect.stringContaining(`Did you mean "${suggestion}"?`) as string,
    });
  });

  test('a scale, a unit and a purpose', async () => {
    const lotId = await floor.lot();
    const scale = await refused(`/v1/lots/${lotId}/readings`, {
      kind: 'gravity',
      gravity: { value: 9, scale: 'brix' },
    });
    expect(scale.errors).toMatchObject([{ pointer: '/gravity/scale', suggestion: 'plato' }]);
    const unit = await refused('/v1/materials', { name: 'S', kind: 'spirit', strength: { value: 96, unit: '% vol' } });
    expect(unit.errors).toMatchObject([{ pointer: '/strength/unit', suggestion: '%' }]);
    const purpose = await refused(`/v1/lots/${lotId}/additions`, {
      vesselId: floor.premisesId,
      purpose: 'yeast',
      mass: { value: 1, unit: 'kg' },
    });
    expect(purpose.errors).toMatchObject([{ pointer: '/purpose', suggestion: 'other' }]);
  });

  test('every property that a movement lacks is told in its detail, with an example', async () => {
    const problem = await refused('/v1/movements', {
      kind: 'destruction',
      lotId: floor.premisesId,
      vesselId: floor.premisesId,
      volume: { value: 1, unit: 'L' },
    });
    expect(problem.detail).toContain('for example "breakage"');
    expect(problem.detail).toContain('evidence.method');
  });

  test('before the first period there is a way', async () => {
    const problem = await refused('/v1/periods', {
      premisesId: floor.premisesId,
      startsOn: '2026-09-01',
      endsBefore: '2026-10-01',
    });
    expect(problem).toMatchObject({ status: 409, errors: [{ pointer: '/startsOn', rule: 'follows-on' }] });
    expect(problem.detail).toContain('/v1/openings');
  });
});
