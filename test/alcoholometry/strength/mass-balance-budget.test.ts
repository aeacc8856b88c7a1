import fc from 'fast-check';
import { compareWithFirstOrder } from '../../../src/metrology/monte-carlo.js';
import { componentsByOrigin, combineComponents } from '../../../src/metrology/uncertainty.js';
import { calibrationOrigin } from '../../../src/alcoholometry/strength/defaults.js';
import type { UncertaintyComponent } from '../../../src/alcoholometry/strength/finding.js';
import { massBalance } from '../../../src/alcoholometry/strength/mass-balance.js';
import { massBalanceModel, massBalanceMonteCarlo } from '../../../src/alcoholometry/strength/mass-balance-draws.js';
import type { MassBalanceInput } from '../../../src/alcoholometry/strength/mass-balance-point.js';

const ONE_POINT = 0.001 / Math.sqrt(3);

function onePoint(origin: string): UncertaintyComponent[] {
  return [{ name: 'calibration', standardUncertainty: ONE_POINT, distribution: 'rectangular', origin }];
}

function reading(value: number, origin: string, sampleTemperatureC = 20) {
  return { value, scale: 'sg-20-20' as const, sampleTemperatureC, components: onePoint(origin) };
}

const input: MassBalanceInput = {
  original: reading(1.065, 'h1/1060-1080'),
  final: reading(0.99, 'h1/980-1000'),
  model: { kind: 'sugar' },
};

/** Standard uncertainty from the readings alone: without temperature, convention and model. */
function fromReadings(finding: ReturnType<typeof massBalance>): number {
  const byOrigin = new Map<string, number>();
  for (const line of finding.strengthPercent.budget.filter(({ name }) => name === 'calibration')) {
    byOrigin.set(line.origin, (byOrigin.get(line.origin) ?? 0) + line.contribution);
  }
  return Math.hypot(...byOrigin.values());
}

describe('budget of the mass balance', () => {
  it('has the U of a budget worked by hand, model term included, within 1 %', () => {
    // Worked apart from the program, from 1.0650 to 0.9900 at 20 °C.
    // Sucrose near 15.9 %: d(density)/dw = 385.18 + 2·135.37·0.159 + 3·40.93·0.159² − … = 431.1 kg/m3, so a point of SG
    // (0.997 kg/m3) is 0.2313 °P. Near 0.9 %: 387.6, or 3.876 kg/m3 per °P.
    const platoPerPoint = 0.2313;
    const extractSlope = 3.876;
    // Ethanol–water at 7.92 % mass, 20 °C, from published 5 and 10 % rows' neighbourhood: (981.848 − 989.378)/5 at 7.5 %,
    // curved by +0.03 a %: −1.50 kg/m3 per %.
    const alcoholSlope = -1.5;
    // Balling: ER = OE + A (0.010665·15.89 − 2.0665) = OE − 1.897 A, and 1 + 0.010665·7.92 = 1.0845.
    const balling = -1.897;
    const total = alcoholSlope + extractSlope * balling;
    // % vol per % mass: (988.1 + 7.92·(−1.50 + …)) / 789.24, with the drink's density all but fixed by its reading.
    const volumePerMass = 988.2 / 789.24;
    const perOriginalPoint = volumePerMass * ((-extractSlope * 1.0845) / total) * platoPerPoint;
    const perFinalPoint = volumePerMass * (0.997 / total) + (7.92 * 0.997) / 789.24;
    const perConvention = volumePerMass * (-extractSlope / total);
    const rectangular = 1 / Math.sqrt(3);
    // Temperature ± 0.5 °C: sugar 15.9 % loses 0.26 kg/m3 a K and the glass 0.027 less; the drink 0.25 and 0.025 less.
    const perOriginalKelvin = (perOriginalPoint / 0.997) * 0.255;
    const perFinalKelvin = (perFinalPoint / 0.997) * 0.22;
    const parts = [
      perOriginalPoint * rectangular,
      perFinalPoint * rectangular,
      perOriginalKelvin * 0.5 * rectangular,
      perFinalKelvin * 0.5 * rectangular,
      perConvention * 0.03 * rectangular,
      0.03 * 9.915,
    ];
    const byHand = 1.96 * Math.hypot(...parts);
    const { strengthPercent } = massBalance(input);
    expect(strengthPercent.budget).toHaveLength(6);
    expect(Math.abs(strengthPercent.expanded / byHand - 1)).toBeLessThan(0.01);
    // Not by the model term alone: the readings' part agrees as well.
    expect(Math.abs(fromReadings(massBalance(input)) / Math.hypot(parts[0], parts[1]) - 1)).toBeLessThan(0.01);
  });

  it('two independent ±1-point errors make 0.11 % vol, one shared error nearly cancels', () => {
    const independent = fromReadings(massBalance(input));
    // 0.1098 by a bisection that shares no line with the solver: gravity-offset.test.ts.
    expect(independent).toBeCloseTo(0.1098, 4);
    const shared = fromReadings(massBalance({ ...input, original: reading(1.065, 'h1'), final: reading(0.99, 'h1') }));
    expect(shared).toBeLessThan(0.005);
    expect(shared).toBeGreaterThan(0);
  });

  it('a stated constant offset, shared, adds next to nothing to independent calibration errors', () => {
    const offset = { name: 'offset', standardUncertainty: ONE_POINT, origin: 'h1/offset' };
    const withOffset = massBalance({
      ...input,
      original: { ...input.original, components: [...onePoint('a'), offset] },
      final: { ...input.final, components: [...onePoint('b'), offset] },
    });
    expect(withOffset.strengthPercent.budget).toHaveLength(8);
    const without = massBalance(input).strengthPercent.standard;
    expect(withOffset.strengthPercent.standard / without).toBeLessThan(1.001);
  });

  it('keeps origins apart by scale region of one instrument', () => {
    expect(calibrationOrigin('h1', 1.065)).not.toBe(calibrationOrigin('h1', 0.99));
    expect(calibrationOrigin('h1', 1.0651)).toBe(calibrationOrigin('h1', 1.0649));
    expect(calibrationOrigin('h1', 1.065)).not.toBe(calibrationOrigin('h2', 1.065));
  });

  it('x − x has no uncertainty', () => {
    const components = componentsByOrigin(massBalance(input).strengthPercent.budget);
    const negated = new Map([...components].map(([origin, c]) => [origin, -c]));
    expect(combineComponents(components, negated).standard).toBe(0);
  });

  const anyInput = fc
    .record({
      og: fc.double({ min: 1.02, max: 1.12, noNaN: true }),
      part: fc.double({ min: 0.4, max: 1, noNaN: true }),
      to: fc.double({ min: 1, max: 39, noNaN: true }),
      tf: fc.double({ min: 1, max: 39, noNaN: true }),
      sharing: fc.boolean(),
      shares: fc.constantFrom(undefined, { sucrose: 1, dextrose: 0 }, { sucrose: 0.2, dextrose: 0.5 }),
    })
    .map(({ og, part, to, tf, sharing, shares }): MassBalanceInput => {
      const dry = 1 - 0.1 * (og - 1);
      const fg = og - part * (og - dry);
      return {
        original: reading(og, 'a', to),
        final: reading(fg, sharing ? 'a' : 'b', tf),
        model: { kind: 'malt' },
        shares,
      };
    });

  it('shares add to one', () => {
    fc.assert(
      fc.property(anyInput, (any) => {
        const { budget } = massBalance(any).strengthPercent;
        expect(budget.reduce((sum, line) => sum + line.share, 0)).toBeCloseTo(1, 12);
      }),
      { numRuns: 300 },
    );
  });

  it('has exact sensitivities: those of the whole model by central differences', () => {
    fc.assert(
      fc.property(anyInput, (any) => {
        const { budget, value } = massBalance(any).strengthPercent;
        const { inputs, evaluate } = massBalanceModel(any);
        const point = Float64Array.from(inputs, (quantity) => quantity.value);
        expect(evaluate(point)).toBeCloseTo(value, 9);
        budget.forEach((line, i) => {
          const step = 0.01 * line.standardUncertainty;
          const [up, down] = [1, -1].map((sign) => {
            const moved = Float64Array.from(point);
            moved[i] += sign * step;
            return evaluate(moved);
          });
          const slope = (up - down) / (2 * step);
          expect(Math.abs(slope - line.sensitivity)).toBeLessThanOrEqual(1e-5 * Math.abs(slope) + 1e-7);
        });
      }),
      { numRuns: 200 },
    );
  });

  it('Monte Carlo confirms the law of propagation, and is the same for the same seed', () => {
    const { strengthPercent } = massBalance(input);
    const drawn = massBalanceMonteCarlo(input, { seed: 20, draws: 100_000 });
    expect(compareWithFirstOrder(strengthPercent, drawn).confirmsFirstOrder).toBe(true);
    expect(Math.abs(drawn.standard / strengthPercent.standard - 1)).toBeLessThan(0.01);
    expect(massBalanceMonteCarlo(input, { seed: 20, draws: 100_000 })).toEqual(drawn);
  });

  it('draws around nothing too: both sides of an unfermented wash', () => {
    const nothing = { ...input, original: reading(1.05, 'a'), final: reading(1.05, 'b') };
    const drawn = massBalanceMonteCarlo(nothing, { seed: 1, draws: 20_000 });
    expect(drawn.rejected).toBe(0);
    expect(Math.abs(drawn.mean)).toBeLessThan(0.01);
  });
});

describe('a gravity without a temperature', () => {
  const at = (originalC: number | undefined, finalC: number | undefined) =>
    massBalance({
      original: { value: 1.06, scale: 'sg-20-20', sampleTemperatureC: originalC },
      final: { value: 1.008, scale: 'sg-20-20', sampleTemperatureC: finalC },
      model: { kind: 'malt' },
    }).strengthPercent;

  it('is less certain than one with, by the change that 5 °C make', () => {
    const [unread, read] = [at(undefined, undefined), at(20, 20)];
    expect(unread.value).toBe(read.value);
    expect(unread.standard).toBeGreaterThan(read.standard);
    // Half of the change from 15 to 25 °C is the half-width of a rectangular distribution.
    const byHand = [(at(25, 20).value - at(15, 20).value) / 2, (at(20, 25).value - at(20, 15).value) / 2].map(
      (halfWidth) => Math.abs(halfWidth) / Math.sqrt(3),
    );
    const lines = unread.budget.filter(({ name }) => name.endsWith('temperature, not read'));
    expect(lines).toHaveLength(2);
    lines.forEach((line, i) => {
      expect(line.standardUncertainty).toBeCloseTo(5 / Math.sqrt(3), 12);
      expect(Math.abs(Math.abs(line.contribution) / byHand[i] - 1)).toBeLessThan(0.02);
    });
  });

  it('has no temperature in its budget where its value is exact in it', () => {
    const exact = massBalance({
      original: { value: 15, scale: 'plato', temperatureComponents: [] },
      final: { value: 2, scale: 'plato', temperatureComponents: [] },
    });
    expect(exact.strengthPercent.budget.some(({ name }) => name.includes('temperature'))).toBe(false);
  });
});
