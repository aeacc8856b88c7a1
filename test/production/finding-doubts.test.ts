import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;
interface Found {
  id: string;
  standing: string;
  strength: { value: number };
  warnings: string[];
  flags?: { code: string; detail: string; suggestion: string }[];
  operationId: string;
}

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-10-30T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-10-01', '2026-11-01']]);
});
afterAll(() => service.stop());

const at = (day: number): string => `2026-10-${String(day).padStart(2, '0')}T09:00:00Z`;

/** A lot of 200 L with gravities by day. */
async function lotWith(
  name: string,
  gravities: readonly (readonly [number, number])[],
  more: Json = {},
): Promise<string> {
  const lotId = await floor.lot('sugar-ferment', more);
  await floor.gravity(lotId, gravities[0][1], at(gravities[0][0]));
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId: await floor.vessel(name),
    volume: { value: 200, unit: 'L' },
    occurredAt: `2026-10-${String(gravities[0][0]).padStart(2, '0')}T10:00:00Z`,
  });
  for (const [day, value] of gravities.slice(1)) {
    await floor.gravity(lotId, value, at(day));
  }
  return lotId;
}
const find = async (lotId: string, body: Json = {}): Promise<Found> =>
  (await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', ...body })) as unknown as Found;
const codes = ({ flags = [] }: Found): string[] => flags.map(({ code }) => code);

test('while the gravity falls a finding is provisional, and says so', async () => {
  const lotId = await lotWith('F1', [
    [1, 1.04],
    [3, 1.02],
    [4, 1.014],
  ]);
  const mid = await find(lotId);
  expect(mid).toMatchObject({ standing: 'provisional', flags: [{ code: 'fermenting' }] });
  expect(mid.flags?.[0].detail).toBe(
    'The gravity fell from 1.0200 to 1.0140 within 24 hours. The finding is provisional, so the composition stays in process.',
  );
  expect(await floor.get(`/v1/findings/${mid.id}`)).toMatchObject({
    standing: 'provisional',
    warnings: expect.arrayContaining(['The gravity fell from 1.0200 to 1.0140 within 24 hours.']) as string[],
  });
  // Asked for, it says nothing more.
  expect(codes(await find(lotId, { standing: 'provisional' }))).toEqual([]);
  // Still for two days, then it is of record by itself.
  await floor.gravity(lotId, 0.998, at(12));
  await floor.gravity(lotId, 0.998, at(14));
  expect(await find(lotId)).toMatchObject({ standing: 'of-record' });
});

test('an explicit finding of record works, with the flag', async () => {
  const lotId = await lotWith('F2', [
    [1, 1.04],
    [3, 1.012],
  ]);
  const found = await find(lotId, { standing: 'of-record' });
  expect(found.standing).toBe('of-record');
  expect(codes(found)).toEqual(['fermenting', 'gauge-first']);
  expect(found.flags?.[0].suggestion).toContain('bursts');
});

test.each<[string, readonly (readonly [number, number])[], string]>([
  // The fall of ten days does not say that it falls still.
  [
    'readings far apart',
    [
      [1, 1.04],
      [11, 1.008],
    ],
    'of-record',
  ],
  [
    'a fall over three days',
    [
      [1, 1.04],
      [4, 1.036],
    ],
    'provisional',
  ],
  [
    'a fall over four days',
    [
      [1, 1.04],
      [5, 1.036],
    ],
    'of-record',
  ],
  // 0.001 SG is 0.26 °P; 0.0009 is 0.23 °P, within the rule's 0.25 °P.
  [
    'a fall within the rule',
    [
      [1, 1.04],
      [5, 1.01],
      [7, 1.0091],
    ],
    'of-record',
  ],
  [
    'a fall beyond it',
    [
      [1, 1.04],
      [5, 1.01],
      [7, 1.0085],
    ],
    'provisional',
  ],
])('%s', async (name, gravities, standing) => {
  expect((await find(await lotWith(name, gravities))).standing).toBe(standing);
});

test('far above the plan it is provisional, though it stands still', async () => {
  const recipe = await floor.post('/v1/recipes', {
    name: 'Sugar ferment (invented)',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: { value: 200, unit: 'L' },
      fermentables: [{ kind: 'sucrose', mass: { value: 20.8, unit: 'kg' } }],
      finalGravity: { value: 0.997, scale: 'sg-20-20' },
    },
  });
  const planned = { recipeVersionId: (recipe.latest as { id: string }).id };
  // 0.997 is −0.77 °P; 1.0030 is 0.77 °P, 1.54 above it; 1.002 is 0.51 °P, 1.28 above it.
  const high = await find(
    await lotWith(
      'P1',
      [
        [1, 1.04],
        [9, 1.003],
        [12, 1.003],
      ],
      planned,
    ),
  );
  expect(high).toMatchObject({ standing: 'provisional' });
  expect(high.flags?.[0].detail).toContain('The gravity 1.0030 stands far above the planned 0.9970.');
  const near = await find(
    await lotWith(
      'P2',
      [
        [1, 1.04],
        [9, 1.002],
        [12, 1.002],
      ],
      planned,
    ),
  );
  expect(near).toMatchObject({ standing: 'of-record' });
});

interface Postings {
  postings: { kind: string; litres: { value: number }; fermented: { value: number } }[];
}

/** Litres, and litres of pure alcohol, of a lot's lines `produced` and `re-measurement` together; what went out of them is what came in. */
async function producedAndReMeasured(lotId: string): Promise<[number, number]> {
  const { items } = (await floor.get(`/v1/operations?lotId=${lotId}&limit=100`)) as { items: { id: string }[] };
  let [litres, alcohol] = [0, 0];
  for (const { id } of items) {
    const { postings } = (await floor.get(`/v1/operations/${id}`)) as unknown as Postings;
    for (const line of postings.filter(({ kind }) => kind === 'produced' || kind === 're-measurement')) {
      litres -= line.litres.value;
      alcohol -= line.fermented.value;
    }
  }
  return [Math.round(litres * 1e6) / 1e6, Math.round(alcohol * 1e6) / 1e6];
}

test('gauge and finding in both orders: produced and re-measured add up to the same', async () => {
  // 200 L charged, 195 L gauged, 5 % vol by certificate: 9.75 L of pure alcohol, in either order.
  const certificate = {
    method: 'certificate',
    certificate: {
      strength: { value: 5, unit: '%' },
      expandedUncertainty: { value: 0.1, unit: '%' },
      coverageFactor: 2,
    },
  };
  const made = async (name: string): Promise<{ lotId: string; vesselId: string }> => {
    const vesselId = await floor.vessel(name);
    const lotId = await floor.lot(name);
    const charge = { vesselId, volume: { value: 200, unit: 'L' }, occurredAt: at(1) };
    await floor.post(`/v1/lots/${lotId}/charges`, charge);
    return { lotId, vesselId };
  };
  const gauge = (lotId: string, vesselId: string, day: number): Promise<Json> =>
    floor.post(`/v1/lots/${lotId}/gauges`, { vesselId, volume: { value: 195, unit: 'L' }, occurredAt: at(day) });
  const right = await made('G1');
  const first = await gauge(right.lotId, right.vesselId, 10);
  expect(first.flags).toEqual([]);
  const after = await floor.post(`/v1/lots/${right.lotId}/findings`, { ...certificate, occurredAt: at(11) });
  expect(after.flags).toBeUndefined();
  const wrong = await made('G2');
  const before = await floor.post(`/v1/lots/${wrong.lotId}/findings`, { ...certificate, occurredAt: at(11) });
  expect(before.flags).toMatchObject([
    {
      code: 'gauge-first',
      detail:
        'The alcohol is booked on the 200.0 L that the books hold since the charge; the vessel was not gauged since.',
    },
  ]);
  const late = await gauge(wrong.lotId, wrong.vesselId, 12);
  expect(late.flags).toMatchObject([
    {
      code: 'gauged-after-finding',
      detail: expect.stringContaining('-5 L and -0.25 L of pure alcohol go to re-measurement') as string,
    },
  ]);
  expect(await producedAndReMeasured(right.lotId)).toEqual([195, 9.75]);
  expect(await producedAndReMeasured(wrong.lotId)).toEqual([195, 9.75]);
  // In the report the one category has one line, the other both and their sum.
  const { items: periods } = (await floor.get('/v1/periods')) as { items: { id: string }[] };
  const { categories } = (await floor.get(`/v1/periods/${periods[0].id}/report`)) as {
    categories: {
      category: string;
      lines: { line: string; litres: { value: number }; fermented: { value: number } }[];
      producedAndReMeasured?: { litres: { value: number }; fermented: { value: number } };
    }[];
  };
  const [one, two] = ['G1', 'G2'].map((name) => categories.find(({ category }) => category === name));
  const produced = one?.lines.find(({ line }) => line === 'produced');
  expect([produced?.litres.value, produced?.fermented.value]).toEqual([195, 9.75]);
  expect(one?.producedAndReMeasured).toBeUndefined();
  expect(two?.lines.find(({ line }) => line === 'produced')?.litres.value).toBe(200);
  expect(two?.producedAndReMeasured).toMatchObject({ litres: { value: 195 }, fermented: { value: 9.75 } });
  // A later gauge says nothing of that.
  const again = await floor.post(`/v1/lots/${wrong.lotId}/gauges`, {
    vesselId: wrong.vesselId,
    volume: { value: 194, unit: 'L' },
    occurredAt: at(13),
  });
  expect(again.flags).toEqual([]);
});
