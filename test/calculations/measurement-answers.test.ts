import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { CalculationsModule } from '../../src/calculations/calculations.module.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { bootModules, clientOf } from '../support/http.js';

interface Quantity {
  value: number;
  unit: string;
}
let app: NestFastifyApplication;

beforeAll(async () => {
  app = await bootModules(PlatformModule, CalculationsModule);
});
afterAll(async () => {
  await app.close();
});

const q = (value: number, unit: string): Quantity => ({ value, unit });

async function compute<Answer>(path: string, body: object): Promise<Answer & { warnings: string[] }> {
  const response = await clientOf(app).post(`/v1/calculations/${path}`).send(body);
  expect([response.status, response.status === 200 ? '' : response.text]).toEqual([200, '']);
  return response.body as Answer & { warnings: string[] };
}

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

describe('uncertainty', () => {
  interface Uncertainty {
    value: number;
    standardUncertainty: number;
    expandedUncertainty: number;
    coverageFactor: number;
    degreesOfFreedom: number | null;
    budget: { share: number; contribution: number }[];
    monteCarlo?: { symmetric: [number, number]; standardUncertainty: number; confirmsFirstOrder: boolean };
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
    expect(Math.round(answer.standardUncertainty)).toBe(32);
    expect(Math.floor(answer.degreesOfFreedom ?? 0)).toBe(16);
    expect(answer.coverageFactor).toBeCloseTo(2.92, 2);
    expect(Math.abs(answer.expandedUncertainty - 93)).toBeLessThanOrEqual(1);
    expect(answer.budget.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  });

  test('JCGM 101 9.2.4: Monte Carlo does not bear the first order out', async () => {
    const rectangular = { distribution: 'rectangular' };
    const { expandedUncertainty, monteCarlo } = await compute<Uncertainty>('uncertainty', {
      inputs: [1, 1, 1, 10].map((u, i) => input(`X${i + 1}`, u, rectangular)),
      monteCarlo: { seed: 5, draws: 200_000, significantDigits: 2 },
    });
    expect(expandedUncertainty).toBeCloseTo(19.9, 1);
    expect(monteCarlo?.symmetric[1]).toBeCloseTo(17, 0);
    expect(monteCarlo?.confirmsFirstOrder).toBe(false);
  });

  test('x − x has no uncertainty, by origin or by matrix; Monte Carlo agrees', async () => {
    const twice = [input('a', 2, { value: 7 }), input('b', 2, { value: 7, sensitivity: -1 })];
    const byOrigin = await compute<Uncertainty>('uncertainty', {
      inputs: twice.map((each) => ({ ...each, origin: 'one' })),
      monteCarlo: { seed: 1, draws: 1000 },
    });
    expect(byOrigin).toMatchObject({
      value: 0,
      standardUncertainty: 0,
      monteCarlo: { standardUncertainty: 0, confirmsFirstOrder: true },
    });
    const byMatrix = await compute<Uncertainty>('uncertainty', {
      inputs: twice,
      correlation: [
        [1, 1],
        [1, 1],
      ],
    });
    expect(byMatrix.standardUncertainty).toBe(0);
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
    rules: { rule: string; passes: boolean; mean?: Quantity; shortContainers?: number; mostShortContainers?: number }[];
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
  expect(short.rules[0].mean?.value).toBeCloseTo(325.75, 9);
  expect(short.rules[2]).toMatchObject({ shortContainers: 1, mostShortContainers: 0 });
});
