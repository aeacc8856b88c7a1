import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { CalculationsModule } from '../../src/calculations/calculations.module.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { bootModules, clientOf } from '../support/http.js';

interface Quantity {
  value: number;
  unit: string;
}
interface LiquidAnswer {
  volume: Quantity;
  mass: Quantity;
  strength: Quantity;
  pureAlcohol: Quantity;
  extract: number;
  density: Quantity;
}

let app: NestFastifyApplication;

beforeAll(async () => {
  app = await bootModules(PlatformModule, CalculationsModule);
});
afterAll(async () => {
  await app.close();
});

const q = (value: number, unit: string): Quantity => ({ value, unit });
const sg = (value: number) => ({ value, scale: 'sg-20-20' });

async function compute<Answer>(path: string, body: object): Promise<Answer & { warnings: string[] }> {
  const response = await clientOf(app).post(`/v1/calculations/${path}`).send(body);
  expect([response.status, response.status === 200 ? '' : response.text]).toEqual([200, '']);
  return response.body as Answer & { warnings: string[] };
}

describe('plan', () => {
  interface Plan {
    fermentables: { kind: string; mass: Quantity }[];
    volume: Quantity;
    original: { specificGravity20: number; extract: number };
    strength: Quantity;
    finalVolume: Quantity;
    pureAlcohol: Quantity;
    shortfall?: Record<'plannedStrength' | 'expectedStrength' | 'sugarMass' | 'waterMass' | 'volumeAfter', Quantity>;
  }
  const fermentables = [
    { kind: 'malt', mass: q(50, 'kg'), extractYield: q(60, '%') },
    { kind: 'dextrose-monohydrate', mass: q(11, '[lb_av]') },
  ];
  const expectation = { apparentAttenuation: q(85, '%') };

  test('backwards from what forwards gave weighs out the same', async () => {
    const there = await compute<Plan>('plan', { fermentables, volume: q(200, 'L'), expectation });
    const proportions = fermentables.map((each) => ({ ...each, mass: q(each.mass.value / 10, each.mass.unit) }));
    const wanted = { strength: there.strength, finalVolume: there.finalVolume };
    const back = await compute<Plan>('plan', { fermentables: proportions, wanted, expectation });
    expect(there.fermentables[0].mass).toMatchObject(q(50, 'kg'));
    back.fermentables.forEach(({ mass }, i) => {
      expect(mass.value / there.fermentables[i].mass.value).toBeCloseTo(1, 8);
    });
    expect(back.volume.value).toBeCloseTo(200, 6);
    expect(back.pureAlcohol.value).toBeCloseTo(there.pureAlcohol.value, 7);
  });

  test('malt extract counts by its yield of extract, as malt does', async () => {
    const plan = (kind: string) =>
      compute<Plan>('plan', {
        fermentables: [{ kind, mass: q(40, 'kg'), extractYield: q(78, '%') }],
        volume: q(200, 'L'),
        expectation,
      });
    const [malt, maltExtract] = [await plan('malt'), await plan('malt-extract')];
    expect(maltExtract.original).toEqual(malt.original);
    expect(maltExtract.strength).toEqual(malt.strength);
  });

  test('a shortfall costs strength, and the sugar named brings the plan back', async () => {
    const volume = q(200, 'L');
    const plain = { fermentables: [{ kind: 'sucrose', mass: q(30, 'kg') }], volume, expectation };
    const { shortfall, original } = await compute<Plan>('plan', {
      ...plain,
      measured: { originalGravity: sg(1.05), correctWith: 'sucrose' },
    });
    expect(original.specificGravity20).toBeGreaterThan(1.05);
    expect(shortfall?.expectedStrength.value).toBeLessThan(shortfall?.plannedStrength.value ?? 0);
    expect(shortfall?.waterMass.value).toBe(0);
    const sugarKg = shortfall?.sugarMass.value ?? 0;
    // What is short on 30 kg in proportion to the extract, but for the volume that the sugar itself takes.
    const found = await compute<{ extract: number; density: Quantity }>('extract', { gravity: sg(1.05) });
    const before = (200 * found.density.value) / 1000;
    const extractAfter = (100 * ((before * found.extract) / 100 + sugarKg)) / (before + sugarKg);
    expect(extractAfter).toBeCloseTo(original.extract, 6);
  });

  test('an original gravity above the plan is corrected with water', async () => {
    const { shortfall } = await compute<Plan>('plan', {
      fermentables: [{ kind: 'sucrose', mass: q(30, 'kg') }],
      volume: q(200, 'L'),
      expectation,
      measured: { originalGravity: sg(1.07), volume: q(150, 'L') },
    });
    expect(shortfall?.sugarMass.value).toBe(0);
    expect(shortfall?.waterMass.value).toBeGreaterThan(0);
    expect(shortfall?.volumeAfter.value).toBeGreaterThan(150);
  });
});

describe('addition', () => {
  interface Addition {
    base: LiquidAnswer;
    addition?: LiquidAnswer;
    result: LiquidAnswer;
    strengthChange: Quantity;
    volumeChange: Quantity;
    alcoholShareAdded: number;
    label?: { difference: Quantity };
  }

  function expectConserved({ base, addition, result, volumeChange }: Addition, solidsKg = 0): void {
    expect(result.mass.value).toBeCloseTo(base.mass.value + (addition?.mass.value ?? 0) + solidsKg, 7);
    expect(result.pureAlcohol.value).toBeCloseTo(base.pureAlcohol.value + (addition?.pureAlcohol.value ?? 0), 7);
    expect(result.volume.value).toBeCloseTo(base.volume.value + (addition?.volume.value ?? 0) + volumeChange.value, 7);
    expect((100 * result.pureAlcohol.value) / result.volume.value).toBeCloseTo(result.strength.value, 8);
  }

  test('a dose per bottle is that part of the full bottle, and mass and alcohol are conserved', async () => {
    const answer = await compute<Addition>('addition', {
      kind: 'dose',
      base: { strength: q(5, '%'), extract: 0.4 },
      addition: { strength: q(60, '%'), extract: 5 },
      dose: { volume: q(4, 'mL'), per: 'bottle', bottle: q(330, 'mL') },
      volume: q(1000, 'L'),
      declaredStrength: q(5, '%'),
    });
    expectConserved(answer);
    expect((answer.addition?.volume.value ?? 0) / answer.result.volume.value).toBeCloseTo(4 / 330, 10);
    expect(answer.strengthChange.value).toBeCloseTo(answer.result.strength.value - answer.base.strength.value, 9);
    expect(answer.label?.difference.value).toBeCloseTo(answer.result.strength.value - 5, 9);
    expect(answer.alcoholShareAdded).toBeCloseTo(
      (answer.addition?.pureAlcohol.value ?? 0) / answer.result.pureAlcohol.value,
      9,
    );
  });

  test('a dose per litre of base comes on top of it', async () => {
    const answer = await compute<Addition>('addition', {
      kind: 'dose',
      base: { strength: q(5, '%') },
      addition: { strength: q(0, '%'), extract: 50 },
      dose: { volume: q(60, 'mL'), per: 'litre-of-base' },
      volume: q(10, 'L'),
    });
    expectConserved(answer);
    expect(answer.addition?.volume.value).toBeCloseTo(0.6, 9);
  });

  test('dissolved sugar adds volume and lowers the strength', async () => {
    const answer = await compute<Addition>('addition', {
      kind: 'solids',
      base: { strength: q(8, '%') },
      solid: 'sucrose',
      mass: q(12, 'kg'),
      volume: q(200, 'L'),
    });
    expectConserved(answer, 12);
    expect(answer.volumeChange.value / 12).toBeCloseTo(0.61, 1);
    expect(answer.strengthChange.value).toBeLessThan(0);
  });

  test('to a strength with water it is the dilution, with spirit a fortification', async () => {
    const volume = q(100, 'L');
    const water = await compute<Addition>('addition', {
      kind: 'to-strength',
      base: { strength: q(14, '%'), extract: 1.2 },
      addition: { strength: q(0, '%') },
      targetStrength: q(5, '%'),
      volume,
    });
    const dilution = await compute<{ waterVolume: Quantity; finalVolume: Quantity }>('dilution', {
      strength: q(14, '%'),
      extract: 1.2,
      targetStrength: q(5, '%'),
      volume,
    });
    expectConserved(water);
    expect(water.addition?.volume.value).toBeCloseTo(dilution.waterVolume.value, 8);
    expect(water.result.volume.value).toBeCloseTo(dilution.finalVolume.value, 8);
    const spirit = await compute<Addition>('addition', {
      kind: 'to-strength',
      base: { strength: q(12, '%'), extract: 2.5 },
      addition: { strength: q(96, '%'), temperature: q(10, 'Cel') },
      targetStrength: q(18, '%'),
      finalVolume: q(240, 'L'),
    });
    expectConserved(spirit);
    expect(spirit.result.strength.value).toBeCloseTo(18, 8);
    expect(spirit.result.volume.value).toBeCloseTo(240, 8);
    expect(spirit.warnings.join(' ')).toMatch(/ignites/);
  });
});

test('conditioning: 6 g/L of sucrose add about 0.4 % vol, and the cautions are there', async () => {
  const answer = await compute<{ sugarConcentration: Quantity; strengthAdded: Quantity; fromSugar: Quantity }>(
    'conditioning',
    {
      volume: q(500, 'L'),
      strength: q(5, '%'),
      extract: 3,
      sugar: 'sucrose',
      volumesOfCO2: 2.4,
      highestTemperature: q(20, 'Cel'),
    },
  );
  expect(answer.strengthAdded.value / answer.sugarConcentration.value).toBeCloseTo(0.4 / 6, 2);
  expect(answer.fromSugar.value / answer.sugarConcentration.value).toBeCloseTo((4 * 44.009) / 342.297, 4);
  expect(answer.warnings.join(' ')).toMatch(/bursts.*local codes/is);
});

describe('volume', () => {
  interface Volume {
    volume: Quantity;
    volumeAt20: Quantity;
    mass: Quantity;
    weighedMass: Quantity;
    density: Quantity;
    pureAlcohol: Quantity;
  }
  const liquids = [
    { liquid: 'alcohol-water', strength: q(60, '%'), temperature: q(-5, 'Cel') },
    { liquid: 'drink', strength: q(5, '%'), extract: 4, temperature: q(39, '[degF]') },
    { liquid: 'drink', strength: q(5, '%'), density: q(1004.2, 'kg/m3'), temperature: q(30, 'Cel') },
    { liquid: 'wort', extract: 12, temperature: q(98, 'Cel') },
  ];

  test.each(liquids)('$liquid: volume, volume at 20 °C, mass and weighing convert into each other', async (liquid) => {
    const from = await compute<Volume>('volume', { ...liquid, volume: q(100, 'L') });
    for (const known of ['volumeAt20', 'mass', 'weighedMass'] as const) {
      const back = await compute<Volume>('volume', { ...liquid, [known]: from[known] });
      expect(back.volume.value).toBeCloseTo(100, 7);
      expect(back.weighedMass.value).toBeCloseTo(from.weighedMass.value, 7);
    }
    expect(from.mass.value).toBeCloseTo((from.density.value * 100) / 1000, 8);
    expect(from.weighedMass.value / from.mass.value).toBeCloseTo(0.999, 3);
    const strength = 'strength' in liquid ? (liquid.strength?.value ?? 0) : 0;
    expect(from.pureAlcohol.value).toBeCloseTo((strength * from.volumeAt20.value) / 100, 7);
  });

  test('5 g/L of CO₂ are 0.39 % of the volume', async () => {
    const body = { liquid: 'drink', strength: q(5, '%'), extract: 3, volume: q(1000, 'L') };
    const flat = await compute<Volume>('volume', body);
    const gassy = await compute<Volume>('volume', { ...body, dissolvedCO2: q(5, 'g/L') });
    expect(1 - gassy.volumeAt20.value / flat.volumeAt20.value).toBeCloseTo(0.0039, 4);
  });

  test('R 22 alone does not turn kg into litres of a drink: the answer says so', async () => {
    const bare = await compute<Volume>('volume', { liquid: 'drink', strength: q(5, '%'), mass: q(1000, 'kg') });
    const real = await compute<Volume>('volume', {
      liquid: 'drink',
      strength: q(5, '%'),
      extract: 5,
      mass: q(1000, 'kg'),
    });
    expect(bare.warnings.join(' ')).toMatch(/heavier/);
    expect(bare.volumeAt20.value / real.volumeAt20.value - 1).toBeCloseTo(0.02, 2);
  });
});

test('energy: 29 kJ and 7 kcal per gram of alcohol, 17 and 4 of carbohydrate (Regulation (EU) 1169/2011, Annex XIV)', async () => {
  const { energy, alcohol } = await compute<{ energy: Quantity[]; alcohol: Quantity }>('energy', {
    strength: q(5, '%'),
    carbohydrate: q(28, 'g/L'),
  });
  expect(alcohol.value).toBeCloseTo(3.946, 3);
  expect(energy.map(({ unit }) => unit)).toEqual(['kJ/dL', 'kcal/dL']);
  expect(energy[0].value).toBeCloseTo(29 * alcohol.value + 17 * 2.8, 8);
  expect(energy[1].value).toBeCloseTo(7 * alcohol.value + 4 * 2.8, 8);
});

test('a mixture conserves mass and alcohol, and one hydrometer adds linearly', async () => {
  interface MixtureAnswer {
    strength: Quantity;
    uncertainty: { standard: Quantity };
    budget: { share: number }[];
    result: LiquidAnswer;
    volumeChange: Quantity;
  }
  const part = (name: string, litres: number, strength: number, origin?: string) => ({
    name,
    volume: q(litres, 'L'),
    strength: q(strength, '%'),
    extract: 2,
    strengthStandardUncertainty: q(0.1, '%'),
    ...(origin === undefined ? {} : { strengthOrigin: origin }),
  });
  const shared = await compute<MixtureAnswer>('mixture', {
    components: [part('a', 100, 6, 'one'), part('b', 100, 6, 'one')],
  });
  const apart = await compute<MixtureAnswer>('mixture', { components: [part('a', 100, 6), part('b', 100, 6)] });
  expect(shared.strength.value).toBeCloseTo(6, 9);
  expect(shared.uncertainty.standard.value).toBeCloseTo(0.1, 6);
  expect(apart.uncertainty.standard.value).toBeCloseTo(0.1 / Math.SQRT2, 6);
  const unlike = await compute<MixtureAnswer>('mixture', { components: [part('a', 30, 12), part('b', 200, 3)] });
  expect(unlike.result.pureAlcohol.value).toBeCloseTo(0.12 * 30 + 0.03 * 200, 8);
  expect(unlike.result.volume.value).toBeCloseTo(230 + unlike.volumeChange.value, 8);
  expect(unlike.budget.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
});

test('a part without a stated uncertainty is not exact: ± 0.3 % vol and ± 1 % of the volume', async () => {
  const ask = (part: Record<string, unknown>) =>
    compute<{ uncertainty: { standard: Quantity }; warnings: string[] }>('mixture', {
      components: [
        { name: 'spirit', volume: q(50, 'L'), strength: q(40, '%'), ...part },
        { name: 'water', volume: q(50, 'L'), strength: q(0, '%'), volumeStandardUncertainty: q(0, 'L') },
      ],
    });
  const exactVolume = await ask({ volumeStandardUncertainty: q(0, 'L') });
  // Half of the strength's u, 0.3/√3; the volume of the mixture hardly changes with it.
  expect(exactVolume.uncertainty.standard.value).toBeCloseTo(0.3 / Math.sqrt(3) / 2, 2);
  const nothing = await ask({});
  // 50 L ± 1 %: 100 · (0.4 − 0.2) · 0.5/√3 L in 100 L, without the 1 % by which mixing shrinks.
  const byHand = Math.hypot(0.3 / Math.sqrt(3) / 2, (0.2 * 0.5) / Math.sqrt(3));
  expect(nothing.uncertainty.standard.value / byHand).toBeCloseTo(1, 1);
  expect(nothing.warnings.join(' ')).toContain('no uncertainty was stated');
  const exact = await ask({ volumeStandardUncertainty: q(0, 'L'), strengthStandardUncertainty: q(0, '%') });
  expect(exact.uncertainty.standard.value).toBe(0);
});

test('a density meter of which nothing is stated: one rectangular input dominates and has its own k', async () => {
  interface Found {
    uncertainty: {
      standard: Quantity;
      expanded: Quantity;
      rectangular?: { input: string; coverageFactor: number; expanded: Quantity };
      monteCarlo?: { symmetric: Quantity[]; confirmsFirstOrder: boolean };
    };
  }
  const found = await compute<Found>('strength', {
    method: 'alcohol-density',
    density: q(950, 'kg/m3'),
    temperature: { ...q(20, 'Cel'), standardUncertainty: 0.05 },
    basis: 'distilled',
    monteCarlo: { seed: 3, draws: 100_000 },
  });
  const { rectangular, monteCarlo, expanded } = found.uncertainty;
  // EA-4/02 S9: 1.65 where a rectangle dominates (from memory).
  expect(rectangular?.coverageFactor).toBeCloseTo(1.65, 1);
  const [low, high] = monteCarlo?.symmetric ?? [];
  expect((rectangular?.expanded.value ?? 0) / ((high.value - low.value) / 2)).toBeCloseTo(1, 2);
  expect(expanded.value).toBeGreaterThan(1.1 * (rectangular?.expanded.value ?? NaN));
  expect(monteCarlo?.confirmsFirstOrder).toBe(false);
});

test('original extract: sugar into water-like wort is the mass fraction; what has fermented counts as its wort', async () => {
  interface Extract {
    extract: number;
    standardUncertainty: number;
    budget: { name: string }[];
  }
  const ask = (alcohol?: number) =>
    compute<Extract>('original-extract', {
      originalGravity: { value: 10, scale: 'plato' },
      standardUncertainty: 0.1,
      additions: [
        {
          vesselMass: { ...q(90, 'kg'), standardUncertainty: 0 },
          ...(alcohol === undefined ? {} : { alcoholByMass: q(alcohol, '%') }),
          addedMass: q(10, 'kg'),
          addedExtract: q(100, '%'),
        },
      ],
    });
  const before = await ask();
  expect(before.extract).toBeCloseTo((90 * 10 + 10 * 100) / 100, 9);
  expect(before.standardUncertainty).toBeCloseTo(0.09, 9);
  const during = await ask(4);
  const asWort = 90 * (1 + 0.010665 * 4);
  expect(during.extract).toBeCloseTo((asWort * 10 + 1000) / (asWort + 10), 9);
});
