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
const sg = (value: number, more: object = {}) => ({ value, scale: 'sg-20-20', ...more });

async function compute<Answer>(path: string, body: object): Promise<Answer & { warnings: string[] }> {
  const response = await clientOf(app).post(`/v1/calculations/${path}`).send(body);
  expect([response.status, response.status === 200 ? '' : response.text]).toEqual([200, '']);
  return response.body as Answer & { warnings: string[] };
}

interface AlcoholWater {
  density: Quantity;
  densityAt20: Quantity;
  volumeFraction: Quantity;
  massFraction: Quantity;
}

test('alcohol and water: whichever of the three is given, the other two come back', async () => {
  for (const temperature of [q(15, 'Cel'), q(59, '[degF]')]) {
    const byVolume = await compute<AlcoholWater>('alcohol-water', { temperature, volumeFraction: q(40, '%') });
    const byMass = await compute<AlcoholWater>('alcohol-water', { temperature, massFraction: byVolume.massFraction });
    const byDensity = await compute<AlcoholWater>('alcohol-water', { temperature, density: byVolume.density });
    for (const { volumeFraction, massFraction, density } of [byVolume, byMass, byDensity]) {
      expect(volumeFraction.value).toBeCloseTo(40, 8);
      expect(massFraction.value).toBeCloseTo(byVolume.massFraction.value, 8);
      expect(density.value).toBeCloseTo(byVolume.density.value, 8);
      expect([volumeFraction.unit, massFraction.unit, density.unit]).toEqual(['%', '%', 'kg/m3']);
    }
  }
});

test('extract: water is nothing on every scale', async () => {
  const scales = [
    sg(1),
    { value: 1, scale: 'sg-15-15' },
    { value: 1, scale: 'sg-60f-60f' },
    { value: 0, scale: 'plato' },
  ];
  for (const gravity of scales) {
    const answer = await compute<{ specificGravity20: number; extract: number; density: Quantity }>('extract', {
      gravity,
    });
    expect(answer.extract).toBeCloseTo(0, 6);
    expect(answer.specificGravity20).toBeCloseTo(1, 8);
    expect(answer.density.value).toBeCloseTo(998.2, 1);
  }
});

test('a hydrometer read at its own temperature needs no correction; read warm it showed too little', async () => {
  const at = (celsius: number) =>
    compute<{ gravityAt20: { value: number; scale: string } }>('hydrometer-correction', {
      reading: sg(1.048),
      sampleTemperature: q(celsius, 'Cel'),
      liquid: 'sugar-solution',
    });
  expect((await at(20)).gravityAt20.value).toBeCloseTo(1.048, 9);
  expect((await at(30)).gravityAt20.value).toBeGreaterThan(1.05);
  expect((await at(10)).gravityAt20.value).toBeLessThan(1.047);
});

interface Strength {
  strength: Quantity;
  uncertainty: {
    standard: Quantity;
    expanded: Quantity;
    coverageFactor: number;
    monteCarlo?: { confirmsFirstOrder: boolean; mean: Quantity };
  };
  budget: { share: number; contribution: number; origin: string }[];
}

test('a dry ferment, 1.0650 to 0.9900, is 9.93 ± 0.04 % vol, and its budget adds up', async () => {
  const answer = await compute<Strength>('strength', {
    method: 'mass-balance',
    originalGravity: sg(1.065, { sampleTemperature: q(20, 'Cel') }),
    finalGravity: sg(0.99, { sampleTemperature: q(20, 'Cel') }),
    monteCarlo: { draws: 20_000, seed: 1 },
  });
  expect(Math.abs(answer.strength.value - 9.93)).toBeLessThanOrEqual(0.04);
  const { standard, expanded, coverageFactor, monteCarlo } = answer.uncertainty;
  expect(answer.budget.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  expect(Math.sqrt(answer.budget.reduce((sum, { contribution }) => sum + contribution ** 2, 0))).toBeCloseTo(
    standard.value,
    9,
  );
  expect(expanded.value).toBeCloseTo(coverageFactor * standard.value, 9);
  expect(monteCarlo?.confirmsFirstOrder).toBe(true);
  expect(Math.abs((monteCarlo?.mean.value ?? 0) - answer.strength.value)).toBeLessThan(
    5 * (standard.value / Math.sqrt(20_000)),
  );
});

test('the uncertainty of a reading counts in its own unit', async () => {
  const inKelvin = { value: 20, unit: 'Cel', standardUncertainty: 0.5 };
  const inFahrenheit = { value: 68, unit: '[degF]', standardUncertainty: 0.9 };
  const answers = await Promise.all(
    [inKelvin, inFahrenheit].map((temperature) =>
      compute<Strength>('strength', {
        method: 'alcohol-density',
        density: q(950, 'kg/m3'),
        temperature,
        basis: 'distilled',
      }),
    ),
  );
  expect(answers[0].uncertainty.standard.value).toBeCloseTo(answers[1].uncertainty.standard.value, 9);
});

test('without a basis a liquid is assumed to be free of extract, with a warning', async () => {
  const body = { method: 'alcohol-density', density: q(993, 'kg/m3'), temperature: q(20, 'Cel') };
  const bare = await compute<Strength>('strength', body);
  const distilled = await compute<Strength>('strength', { ...body, basis: 'distilled' });
  expect(bare.strength).toEqual(distilled.strength);
  expect(bare.warnings.join(' ')).toContain('free of extract');
  expect(distilled.warnings.join(' ')).not.toContain('free of extract');
});

test('a certificate keeps value, U and k as stated', async () => {
  const answer = await compute<Strength>('strength', {
    method: 'certificate',
    strength: q(5.02, '%'),
    expandedUncertainty: q(0.06, '%'),
    coverageFactor: 2,
  });
  expect(answer.strength).toEqual(q(5.02, '%'));
  expect(answer.uncertainty).toMatchObject({ standard: q(0.03, '%'), expanded: q(0.06, '%'), coverageFactor: 2 });
});

interface Dilution {
  waterMass: Quantity;
  waterVolume: Quantity;
  volume: Quantity;
  finalVolume: Quantity;
  volumeChange: Quantity;
  pureAlcohol: Quantity;
}

test.each([
  [96, -0.28],
  [14, 0.07],
])('diluting %d %% vol to 5 %% changes 100 L of result by %d L', async (strength, change) => {
  const answer = await compute<Dilution>('dilution', {
    strength: q(strength, '%'),
    targetStrength: q(5, '%'),
    finalVolume: q(100, 'L'),
  });
  expect(answer.volumeChange.value).toBeCloseTo(change, 2);
  expect(answer.pureAlcohol.value).toBeCloseTo(5, 8);
  expect(answer.finalVolume.value).toBeCloseTo(100, 8);
  expect(answer.volume.value + answer.waterVolume.value + answer.volumeChange.value).toBeCloseTo(100, 8);
});

test('2.375 L of 40 % vol made up to 19 L are 5 %, also in gallons', async () => {
  const litres = await compute<Dilution>('dilution', {
    strength: q(40, '%'),
    targetStrength: q(5, '%'),
    finalVolume: q(19, 'L'),
  });
  expect(litres.volume.value).toBeCloseTo(2.375, 8);
  const gallons = await compute<Dilution>('dilution', {
    strength: q(40, '%'),
    targetStrength: q(5, '%'),
    finalVolume: q(19 / 3.785411784, '[gal_us]'),
  });
  expect(gallons.volume.value).toBeCloseTo(2.375, 8);
});

test('a blend reaches its target and draws no more than is available', async () => {
  const component = (name: string, strength: number, available: number, minimum = 0) => ({
    name,
    strength: q(strength, '%'),
    available: q(available, 'L'),
    minimum: q(minimum, 'L'),
  });
  const answer = await compute<{
    draw: { name: string; volume: Quantity; pureAlcohol: Quantity }[];
    strength: Quantity;
    volume: Quantity;
  }>('blend', {
    components: [component('a', 12, 30), component('b', 8, 200, 10), component('c', 0, 500)],
    target: { volume: q(150, 'L'), strength: q(6, '%') },
  });
  expect(answer.strength.value).toBeCloseTo(6, 6);
  expect(answer.volume.value).toBeCloseTo(150, 5);
  expect(answer.draw.reduce((sum, { pureAlcohol }) => sum + pureAlcohol.value, 0)).toBeCloseTo(9, 5);
  expect(answer.draw.map(({ name }) => name)).toEqual(['a', 'b', 'c']);
  expect(answer.draw[0].volume.value).toBeLessThanOrEqual(30);
  expect(answer.draw[1].volume.value).toBeGreaterThanOrEqual(10);
});

test('carbonation goes forth and back, and says what can hurt', async () => {
  const forth = await compute<{ gaugePressure: Quantity; dissolved: Quantity }>('carbonation', {
    temperature: q(4, 'Cel'),
    volumesOfCO2: 2.5,
  });
  expect(forth.dissolved).toEqual({ value: expect.closeTo(4.94, 1), unit: 'g/L' });
  const back = await compute<{ volumesOfCO2: number }>('carbonation', {
    temperature: q(4, 'Cel'),
    gaugePressure: forth.gaugePressure,
  });
  expect(back.volumesOfCO2).toBeCloseTo(2.5, 8);
  expect(forth.warnings.join(' ')).toMatch(/pressure.*local codes/is);
});

test('conformity with a limit on one side, and with unequal ones', async () => {
  const ask = (measured: number, declared: number, sides: Record<string, Quantity>) =>
    compute<{ decision: string; probability: number; acceptance: { lower: Quantity | null; upper: Quantity | null } }>(
      'conformity',
      { measured: q(measured, '%'), standardUncertainty: q(0.06, '%'), declared: q(declared, '%'), ...sides },
    );
  const atLeast = await ask(37.62, 37.5, { toleranceBelow: q(0, '%') });
  expect(atLeast).toMatchObject({ decision: 'conforms', acceptance: { upper: null } });
  // Φ(2), from tables of the normal distribution; the guard band is 1.645 u (JCGM 106:2012, 8.3.2).
  expect(atLeast.probability).toBeCloseTo(0.97725, 5);
  expect(atLeast.acceptance.lower?.value).toBeCloseTo(37.5 + 1.6449 * 0.06, 4);
  expect((await ask(0.05, 0.5, { toleranceAbove: q(0, '%') })).acceptance.lower).toBeNull();
  const unequal = await ask(5, 5, { toleranceBelow: q(0.2, '%'), toleranceAbove: q(0.5, '%') });
  expect(unequal.acceptance.upper?.value).toBeCloseTo(5.5 - 1.6449 * 0.06, 4);
});

test('conformity decides with a guard band', async () => {
  const ask = (measured: number) =>
    compute<{ decision: string; probability: number; acceptance: { lower: Quantity; upper: Quantity } }>('conformity', {
      measured: q(measured, '%'),
      standardUncertainty: q(0.1, '%'),
      declared: q(5, '%'),
      tolerance: q(0.5, '%'),
    });
  expect((await ask(5)).decision).toBe('conforms');
  expect((await ask(5.45)).decision).toBe('cannot-tell');
  expect((await ask(5.9)).decision).toBe('does-not-conform');
  const { acceptance } = await ask(5);
  expect(acceptance.upper.value).toBeCloseTo(5.5 - 1.6449 * 0.1, 4);
  expect(acceptance.lower.value).toBeCloseTo(4.5 + 1.6449 * 0.1, 4);
});
