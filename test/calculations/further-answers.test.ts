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
    { kind: 'malt', mass: q(50, 'kg'), extractYield: 0.6 },
    { kind: 'dextrose-monohydrate', mass: q(11, '[lb_av]') },
  ];
  const expectation = { apparentAttenuation: q(85, '%') };

  test('backwards from what forwards gave weighs out the same', async () => {
    const there = await compute<Plan>('plan', { fermentables, volume: q(200, 'L'), expectation });
    const proportions = fermentables.map((each) => ({ ...each, mass: q(each.mass.value / 10, each.mass.unit) }));
    const wanted = { strength: there.strength, finalVolume: there.finalVolume };
    const back = await compute<Plan>('plan', { fermentables: proportions, wanted, expectation });
    expect(there.fermentables[0].mass).toEqual(q(50, 'kg'));
    back.fermentables.forEach(({ mass }, i) => {
      expect(mass.value / there.fermentables[i].mass.value).toBeCloseTo(1, 8);
    });
    expect(back.volume.value).toBeCloseTo(200, 6);
    expect(back.pureAlcohol.value).toBeCloseTo(there.pureAlcohol.value, 7);
  });

  test('a shortfall costs strength, and the sugar named brings the plan back', async () => {
    const volume = q(200, 'L');
    const plain = { fermentables: [{ kind: 'sucrose', mass: q(30, 'kg') }], volume, expectation };
    const { shortfall, original } = await compute<Plan>('plan', {
      ...plain,
      measured: { originalGravity: sg(1.05), mendWith: 'sucrose' },
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

  test('an original gravity above the plan is mended with water', async () => {
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

  test('sugar takes room and dilutes', async () => {
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

  test.each(liquids)('$liquid: every footing leads to the others', async (liquid) => {
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

describe('proof', () => {
  interface Proof {
    proof: number;
    strength: Quantity;
    strengthAt60F: Quantity;
    massFraction: Quantity;
    wineGallons?: Quantity;
    proofGallons?: number;
    pureAlcohol?: Quantity;
    volumeAt20?: Quantity;
  }

  test('27 CFR 30.61 to the printed digit', async () => {
    const { proof } = await compute<Proof>('proof', { hydrometerReading: 193, temperature: q(75, '[degF]') });
    expect(Math.round(proof * 10) / 10).toBe(189.5);
  });

  test('27 CFR 30.64: proof gallons of 81,000 lb of 190 proof', async () => {
    const answer = await compute<Proof>('proof', { proof: 190, weight: q(81_000, '[lb_av]') });
    // 1e-5 gal/lb is the stated error of a wine gallon; a proof gallon is 1.9 of it here.
    expect(Math.abs((answer.wineGallons?.value ?? 0) - 11921.6)).toBeLessThanOrEqual(81_000 * 1e-5);
    expect(Math.abs((answer.proofGallons ?? 0) - 22650.8)).toBeLessThanOrEqual(81_000 * 1.9e-5);
  });

  test('whichever is given, the others come back', async () => {
    const first = await compute<Proof>('proof', { proof: 84, volume: q(100, 'L'), temperature: q(20, 'Cel') });
    for (const known of [
      { strength: first.strength },
      { strengthAt60F: first.strengthAt60F },
      { massFraction: first.massFraction },
    ]) {
      expect((await compute<Proof>('proof', known)).proof).toBeCloseTo(84, 7);
    }
    expect(first.volumeAt20?.value).toBeCloseTo(100, 8);
    expect(first.pureAlcohol?.value).toBeCloseTo(first.strength.value, 7);
    expect(first.proofGallons).toBeCloseTo(((first.wineGallons?.value ?? 0) * 84) / 100, 8);
  });
});

test('energy: 29 and 7 for alcohol, 17 and 4 for carbohydrate', async () => {
  const answer = await compute<Record<'kilojoules' | 'kilocalories' | 'alcohol' | 'carbohydrate', Quantity>>('energy', {
    strength: q(5, '%'),
    carbohydrate: q(28, 'g/L'),
  });
  expect(answer.alcohol.value).toBeCloseTo(3.946, 3);
  expect(answer.kilojoules.value).toBeCloseTo(29 * answer.alcohol.value + 17 * 2.8, 8);
  expect(answer.kilocalories.value).toBeCloseTo(7 * answer.alcohol.value + 4 * 2.8, 8);
});

describe('uncertainty', () => {
  interface Uncertainty {
    value: number;
    standard: number;
    expanded: number;
    coverageFactor: number;
    degreesOfFreedom: number | null;
    budget: { share: number; contribution: number }[];
    monteCarlo?: { symmetric: [number, number]; standard: number; bearsOut: boolean };
  }
  const input = (name: string, standardUncertainty: number, more: object = {}) => ({
    name,
    value: 0,
    standardUncertainty,
    sensitivity: 1,
    ...more,
  });

  test('JCGM 100 H.1: u = 32 nm, ν = 16, U at 99 % = 93 nm', async () => {
    const answer = await compute<Uncertainty>('uncertainty', {
      value: 50_000_838,
      coverageProbability: 0.99,
      inputs: [
        input('standard', 25, { degreesOfFreedom: 18 }),
        input('comparison', 9.7, { degreesOfFreedom: 25.6 }),
        input('expansion difference', 5.8e-7, { degreesOfFreedom: 50, sensitivity: 50_000_623 * 0.1 }),
        input('temperature difference', 0.029, { degreesOfFreedom: 2, sensitivity: -50_000_623 * 1.15e-5 }),
      ],
    });
    expect(Math.round(answer.standard)).toBe(32);
    expect(Math.floor(answer.degreesOfFreedom ?? 0)).toBe(16);
    expect(answer.coverageFactor).toBeCloseTo(2.92, 2);
    expect(Math.abs(answer.expanded - 93)).toBeLessThanOrEqual(1);
    expect(answer.budget.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  });

  test('JCGM 101 9.2.4: Monte Carlo does not bear the first order out', async () => {
    const rectangular = { distribution: 'rectangular' };
    const { expanded, monteCarlo } = await compute<Uncertainty>('uncertainty', {
      inputs: [1, 1, 1, 10].map((u, i) => input(`X${i + 1}`, u, rectangular)),
      monteCarlo: { seed: 5, draws: 200_000, significantDigits: 2 },
    });
    expect(expanded).toBeCloseTo(19.9, 1);
    expect(monteCarlo?.symmetric[1]).toBeCloseTo(17, 0);
    expect(monteCarlo?.bearsOut).toBe(false);
  });

  test('x − x has no uncertainty, by origin or by matrix; Monte Carlo agrees', async () => {
    const twice = [input('a', 2, { value: 7 }), input('b', 2, { value: 7, sensitivity: -1 })];
    const byOrigin = await compute<Uncertainty>('uncertainty', {
      inputs: twice.map((each) => ({ ...each, origin: 'one' })),
      monteCarlo: { seed: 1, draws: 1000 },
    });
    expect(byOrigin).toMatchObject({ value: 0, standard: 0, monteCarlo: { standard: 0, bearsOut: true } });
    const byMatrix = await compute<Uncertainty>('uncertainty', {
      inputs: twice,
      correlation: [
        [1, 1],
        [1, 1],
      ],
    });
    expect(byMatrix.standard).toBe(0);
  });

  test('a coverage factor follows the degrees of freedom and the probability', async () => {
    const few = await compute<Uncertainty>('uncertainty', { inputs: [input('x', 1, { degreesOfFreedom: 4 })] });
    expect(few.coverageFactor).toBeCloseTo(2.776, 3);
    const many = await compute<Uncertainty>('uncertainty', { inputs: [input('x', 1)], coverageProbability: 0.99 });
    expect(many.coverageFactor).toBeCloseTo(2.576, 3);
    expect(many.degreesOfFreedom).toBeNull();
  });
});

test('comparison: a shared origin cancels, independent ones do not', async () => {
  interface Comparison {
    normalisedError: number;
    agree: boolean;
    expandedUncertainty: Quantity;
    statement: string;
  }
  const independent = await compute<Comparison>('comparison', {
    first: { method: 'mass-balance', strength: q(5.2, '%'), standardUncertainty: q(0.3, '%') },
    second: { method: 'certificate', strength: q(4.4, '%'), standardUncertainty: q(0.4, '%') },
  });
  expect(independent.expandedUncertainty.value).toBeCloseTo(1, 9);
  expect(independent.normalisedError).toBeCloseTo(0.8, 9);
  expect(independent).toMatchObject({
    agree: true,
    statement: expect.stringContaining('mass-balance and certificate'),
  });
  const shared = (contribution: number) => [
    { origin: 'hydrometer', contribution: 0.3 },
    { origin: `own${contribution}`, contribution },
  ];
  const together = await compute<Comparison>('comparison', {
    first: { strength: q(5.2, '%'), components: shared(0.1) },
    second: { strength: q(4.4, '%'), components: shared(-0.2) },
  });
  expect(together.expandedUncertainty.value).toBeCloseTo(2 * Math.hypot(0.1, 0.2), 9);
  expect(together.agree).toBe(false);
  expect(together.statement).toContain('disagree');
});

test('model bias: mean of the ratios, u of a further lot', async () => {
  const ratios = [0.98, 0.99, 1, 1.01, 0.97];
  const answer = await compute<{ relativeBias: number; relativeStandardUncertainty: number; degreesOfFreedom: number }>(
    'model-bias',
    {
      pairs: ratios.map((ratio) => ({
        massBalance: q(5, '%'),
        certificate: q(5 * ratio, '%'),
        certificateStandardUncertainty: q(0, '%'),
      })),
    },
  );
  expect(answer.relativeBias).toBeCloseTo(-0.01, 9);
  expect(answer.relativeStandardUncertainty).toBeCloseTo(Math.sqrt(0.001 / 4) * Math.sqrt(1 + 1 / 5), 9);
  expect(answer.degreesOfFreedom).toBeCloseTo(4, 9);
});

test('fill check: in any unit, each rule by itself', async () => {
  interface FillCheck {
    verdict: string;
    mean: Quantity;
    tolerableNegativeError: Quantity;
    rules: { rule: string; passes: boolean; found: number; limit: number }[];
  }
  const good = await compute<FillCheck>('fill-check', {
    nominalVolume: q(330, 'mL'),
    fills: { values: [0.3312, 0.3298, 0.3304, 0.331], unit: 'L' },
  });
  expect(good).toMatchObject({ verdict: 'passes', tolerableNegativeError: q(9.9, 'mL') });
  expect(good.mean.value).toBeCloseTo(330.6, 9);
  const short = await compute<FillCheck>('fill-check', {
    nominalVolume: q(330, 'mL'),
    fills: { values: [331, 331, 331, 310], unit: 'mL' },
  });
  expect(short.verdict).toBe('fails');
  expect(short.rules.map(({ rule, passes }) => [rule, passes])).toEqual([
    ['average', true],
    ['tolerable-negative-error', true],
    ['twice-tolerable-negative-error', false],
  ]);
});
