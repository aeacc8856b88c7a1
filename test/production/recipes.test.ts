import { readReferenceCsv } from '../support/reference-files.js';
import { TestService } from '../support/service.js';

import { sameRefusal, UNKNOWN_ID, World } from './records-world.js';

let service: TestService;
let world: World;
beforeAll(async () => {
  service = await TestService.start();
  world = await World.of(service);
});
afterAll(() => service.stop());

interface Expected {
  originalGravity: { value: number; scale: string };
  originalExtract: number;
  finalGravity: { value: number; scale: string };
  strength: { value: number; unit: string };
  strengthModelUncertainty: number;
  finalVolume: { value: number; unit: string };
  pureAlcohol: { value: number; unit: string };
  warnings: string[];
  method: { id: string };
}
interface Version {
  id: string;
  number: number;
  plan: Record<string, unknown>;
  expected: Expected;
}

const dextrose = (kg: number) => ({ kind: 'dextrose-anhydrous', mass: { value: kg, unit: 'kg' } });
const wash = {
  kind: 'sugar-wash',
  volume: { value: 200, unit: 'L' },
  strength: { value: 5, unit: '%' },
  fermentables: [dextrose(16.5)],
};
const recipe = (plan: object) => ({ name: 'House ferment', category: 'sugar-ferment', plan });
const planned = (plan: object) => world.post<{ latest: Version }>('/v1/recipes', recipe(plan));
const expected = async (plan: object): Promise<Expected> => (await planned(plan)).latest.expected;

describe('what a plan comes to', () => {
  test('original gravity of sucrose as published', async () => {
    const row = readReferenceCsv('physics/sugar-solution-density.csv').find(
      (each) => each.solute === 'sucrose' && each.mass_pct === '10' && each.quantity === 'density_g_cm3',
    );
    const kgPerL = Number(row?.published);
    const found = await expected({
      kind: 'sugar-wash',
      volume: { value: 1, unit: 'hL' },
      fermentables: [{ kind: 'sucrose', mass: { value: Number((kgPerL * 10).toFixed(3)), unit: 'kg' } }],
    });
    expect(Math.abs(found.originalExtract - 10)).toBeLessThan(0.02);
    const apparent = (kgPerL * 1000 - 1.2) / (998.2 - 1.2);
    expect(Math.abs(found.originalGravity.value - apparent)).toBeLessThan(0.0002);
  });

  test('1.5 to 2 kg of dextrose in 19 L gives about 5 %, and a dry ferment reads under water (common practice, no source)', async () => {
    const kgFor200L = [(1.5 / 19) * 200, (2 / 19) * 200].map((kg) => Number(kg.toFixed(3)));
    const [less, more] = await Promise.all(kgFor200L.map((kg) => expected({ ...wash, fermentables: [dextrose(kg)] })));
    expect(less.strength.value).toBeLessThan(5);
    expect(more.strength.value).toBeGreaterThan(5);
    expect(more.strength.value).toBeLessThan(7);
    expect(less.finalGravity.value).toBeLessThan(1);
    expect(less.finalGravity.value).toBeGreaterThan(0.985);
  });

  test('strength, volume and pure alcohol agree; the model uncertainty is 3 % for sugar, 2.4 % for malt', async () => {
    const sugar = await expected(wash);
    expect(sugar.pureAlcohol.value).toBeCloseTo((sugar.finalVolume.value * sugar.strength.value) / 100, 2);
    expect(sugar.strengthModelUncertainty).toBeCloseTo(0.03 * sugar.strength.value, 3);
    const yields = { kind: 'malt', mass: { value: 20, unit: 'kg' }, extractYield: { value: 65, unit: '%' } };
    const malt = await expected({ kind: 'malt', volume: { value: 1, unit: 'hL' }, fermentables: [yields] });
    expect(malt.strengthModelUncertainty).toBeCloseTo(0.024 * malt.strength.value, 3);
    expect(malt.warnings.join()).toMatch(/75 % apparent/);
  });

  test('the final gravity or the attenuation that is expected is met', async () => {
    const finalGravity = { value: 0.998, scale: 'sg-20-20' };
    expect((await expected({ ...wash, finalGravity })).finalGravity.value).toBeCloseTo(0.998, 5);
    const found = await expected({ ...wash, expectedAttenuation: { value: 100, unit: '%' } });
    expect(found.finalGravity.value).toBeCloseTo(1, 5);
  });

  test('it says when the wanted strength is missed', async () => {
    expect((await expected(wash)).warnings.join()).not.toMatch(/the plan wants/);
    const missed = await expected({ ...wash, strength: { value: 8, unit: '%' } });
    expect(missed.warnings.join()).toMatch(/the plan wants 8 % vol/);
  });

  test('from spirit, only what can be computed', async () => {
    const found = await expected({
      kind: 'spirit-based',
      volume: { value: 100, unit: 'L' },
      strength: { value: 5, unit: '%' },
    });
    expect(found).toEqual({
      strength: { value: 5, unit: '%' },
      pureAlcohol: { value: 5, unit: 'L' },
      warnings: [],
      method: { id: 'plan-as-given', version: '1.0.0', source: 'the plan itself' },
    });
  });

  test('a material gives its extract yield', async () => {
    const malt = { name: 'Pale malt', kind: 'malt', fermentable: 'malt', extractYield: { value: 70, unit: '%' } };
    const { id } = await world.post('/v1/materials', malt);
    const plan = (more: object) => ({
      kind: 'malt',
      volume: { value: 100, unit: 'L' },
      fermentables: [{ kind: 'malt', mass: { value: 20, unit: 'kg' }, ...more }],
    });
    const named = await planned(plan({ materialId: id }));
    expect(named.latest.plan).toMatchObject({
      fermentables: [{ materialId: id, extractYield: { value: 70, unit: '%' } }],
    });
    expect(named.latest.expected).toEqual(await expected(plan({ extractYield: { value: 70, unit: '%' } })));
    const wrong = { ...plan({ materialId: id }), fermentables: [{ ...dextrose(5), materialId: id }] };
    const problem = await world.refused('not-computable', 'post', '/v1/recipes', recipe(wrong));
    expect(problem.errors).toMatchObject([{ pointer: '/plan/fermentables/0/kind' }]);
  });
});

describe('versions', () => {
  test('the first comes with the recipe in one write, later ones are added and none changes', async () => {
    const own = await World.of(service);
    const made = await own.post<{ latest: Version }>('/v1/recipes', recipe(wash));
    const trail = await own.get<{ items: unknown[] }>('/v1/audit-trail');
    expect(trail.items).toHaveLength(3); // the producer, its premises, the recipe with its version
    expect(made.latest).toMatchObject({ number: 1, recipeId: made.id, plan: wash });
    expect(await own.get(`/v1/recipes/${made.id}`)).toEqual(made);
    const second = await own.post(`/v1/recipes/${made.id}/versions`, { plan: { ...wash, notes: 'colder' } });
    expect(second).toMatchObject({ number: 2, plan: { notes: 'colder' } });
    expect(await own.get(`/v1/recipes/${made.id}/versions/1`)).toEqual(made.latest);
    expect(await own.get(`/v1/recipes/${made.id}/versions/2`)).toEqual(second);
    expect((await own.get<{ latest: Version }>(`/v1/recipes/${made.id}`)).latest).toEqual(second);
    const path = `/v1/recipes/${made.id}/versions?limit=1`;
    const first = await own.get<{ items: unknown[]; next: string }>(path);
    expect(first.items).toEqual([made.latest]);
    expect(await own.get(`${path}&cursor=${first.next}`)).toEqual({ items: [second], next: null });
    for (const method of ['patch', 'put', 'delete'] as const) {
      const answer = await service.call(method, `/v1/recipes/${made.id}/versions/1`, {
        key: own.key,
        body: { plan: wash },
      });
      expect([404, 405]).toContain(answer.status);
    }
    await own.trailHolds();
  });

  test('twelve added at once are numbered one after another', async () => {
    const made = await planned(wash);
    const added = await Promise.all(
      Array.from({ length: 12 }, () => world.post<Version>(`/v1/recipes/${made.id}/versions`, { plan: wash })),
    );
    expect(added.map(({ number }) => number).sort((a, b) => a - b)).toEqual([2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13]);
  });

  test('name and standing change with the tag that was read', async () => {
    const { id } = await planned(wash);
    expect((await service.call('patch', `/v1/recipes/${id}`, { key: world.key, body: { name: 'x' } })).status).toBe(
      428,
    );
    const changed = await world.patch(`/v1/recipes/${id}`, { name: 'Renamed' }, '"v1"');
    expect(changed.body).toMatchObject({ id, name: 'Renamed', version: 2 });
    expect((await world.patch(`/v1/recipes/${id}`, { retired: true }, '"v1"')).status).toBe(412);
    expect((await world.patch(`/v1/recipes/${id}`, { category: 'other' }, '"v2"')).status).toBe(400);
  });
});

describe('a plan is refused', () => {
  const gravity = (value: number, scale = 'sg-20-20') => ({ finalGravity: { value, scale } });
  test.each<[string, object, string]>([
    ['unit-unknown', { volume: { value: 1, unit: 'barrel' } }, '/plan/volume/unit'],
    ['out-of-range', { volume: { value: 0, unit: 'L' } }, '/plan/volume/value'],
    ['out-of-range', { volume: { value: -1, unit: 'L' } }, ''],
    ['validation-failed', { volume: { value: 1.0000001, unit: 'L' } }, ''],
    ['validation-failed', { volume: 200 }, ''],
    ['out-of-range', { strength: { value: 101, unit: '%' } }, ''],
    ['scale-unknown', gravity(1, 'brix'), '/plan/finalGravity/scale'],
    ['out-of-range', gravity(10.32), '/plan/finalGravity/value'],
    ['out-of-range', gravity(0.5), ''],
    ['not-computable', gravity(1.2), '/plan/finalGravity'],
    ['not-computable', gravity(0.985), '/plan/finalGravity'],
    ['out-of-range', gravity(0.9), '/plan/finalGravity'],
    ['not-computable', { ...gravity(0.995), expectedAttenuation: { value: 90, unit: '%' } }, '/plan/finalGravity'],
    ['out-of-range', { expectedAttenuation: { value: 141, unit: '%' } }, ''],
    ['not-computable', { expectedAttenuation: { value: 139, unit: '%' } }, '/plan/expectedAttenuation'],
    ['not-computable', { kind: 'spirit-based', ...gravity(0.995) }, '/plan/finalGravity'],
    ['validation-failed', { kind: 'potion' }, ''],
    ['validation-failed', { fermentables: [{ ...dextrose(1), type: 'hope' }] }, ''],
    ['out-of-range', { fermentables: [dextrose(0)] }, ''],
    ['out-of-range', { fermentables: [dextrose(5000)] }, '/plan/volume'],
    ['not-computable', { fermentables: [{ ...dextrose(1), extractYield: { value: 90, unit: '%' } }] }, ''],
    ['not-computable', { fermentables: [{ ...dextrose(1), kind: 'malt' }] }, '/plan/fermentables/0/extractYield'],
    ['not-computable', { fermentables: Array.from({ length: 21 }, () => dextrose(1)) }, '/plan/fermentables'],
    ['not-found', { fermentables: [{ ...dextrose(1), materialId: UNKNOWN_ID }] }, '/plan/fermentables/0/materialId'],
    ['validation-failed', { originalGravity: 1.05 }, ''],
  ])('%s: %j', async (code, change, pointer) => {
    const made = await planned(wash);
    const plan = { ...wash, ...change };
    const problem = await world.refused(code, 'post', '/v1/recipes', recipe(plan));
    if (pointer !== '') {
      expect(problem.errors?.map((each) => each.pointer)).toEqual([pointer]);
    }
    const again = await world.refused(code, 'post', `/v1/recipes/${made.id}/versions`, { plan });
    expect(again.errors).toEqual(problem.errors);
  });

  test('10.32 is answered with what was probably meant', async () => {
    const problem = await world.refused('out-of-range', 'post', '/v1/recipes', recipe({ ...wash, ...gravity(10.32) }));
    expect(problem.errors).toMatchObject([{ suggestion: '1.032' }]);
  });
});

test("another producer's recipe, versions and materials are unknown", async () => {
  const other = await World.of(service);
  const theirs = await other.post<{ latest: Version }>('/v1/recipes', recipe(wash));
  const headers = { 'if-match': '"v1"' };
  for (const [method, path, body] of [
    ['get', ''],
    ['patch', '', { name: 'mine' }],
    ['get', '/versions'],
    ['post', '/versions', { plan: wash }],
    ['get', '/versions/1'],
  ] as const) {
    sameRefusal(
      await world.refused('not-found', method, `/v1/recipes/${theirs.id}${path}`, body, headers),
      await world.refused('not-found', method, `/v1/recipes/${UNKNOWN_ID}${path}`, body, headers),
    );
  }
  const material = await other.post('/v1/materials', {
    name: 'Sugar',
    kind: 'sugar',
    fermentable: 'dextrose-anhydrous',
  });
  const made = (materialId: string) =>
    world.refused(
      'not-found',
      'post',
      '/v1/recipes',
      recipe({ ...wash, fermentables: [{ ...dextrose(18), materialId }] }),
    );
  sameRefusal(await made(material.id), await made(UNKNOWN_ID));
});

test('the trail holds after all of it', () => world.trailHolds());
