import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { recordReference } from '../support/reference-log.js';
import type { CurvePoint, TerminalRule } from '../../src/alcoholometry/fermentation/fermentation-curve.js';
import { forecastFermentation } from '../../src/alcoholometry/fermentation/fermentation-curve.js';
import { leastSquares } from '../../src/alcoholometry/fermentation/least-squares.js';

const RULE: TerminalRule = { changePlato: 0.25, hours: 48 };

interface Kinetics {
  readonly original: number;
  readonly final: number;
  /** 1/h */
  readonly growth: number;
  /** Monod’s constant, °P */
  readonly half: number;
  /** hours until the yeast is fully active */
  readonly lag: number;
  /** hours for one decimation of its activity by alcohol; Infinity for none */
  readonly fade: number;
}

/**
 * Another kinetic model than the one that is fitted: growth after Monod with a lag, growth ended at a tenfold of the pitch, uptake by the cells,
 * activity that fades. Euler steps of 3 minutes.
 */
function simulated({ original, final, growth, half, lag, fade }: Kinetics): (hours: number) => number {
  const STEP = 0.05;
  const curve = [original];
  let [cells, sugar] = [0.1, original - final];
  const uptake = (original - final) / 70;
  for (let t = 0; t < 24 * 60; t += STEP) {
    const active = (1 - Math.exp(-t / lag)) ** 2 * Math.exp(-t / fade);
    const fed = sugar / (half + sugar);
    cells += STEP * growth * active * fed * cells * (1 - cells);
    sugar -= STEP * uptake * active * fed * cells;
    curve.push(final + sugar);
  }
  return (hours) => curve[Math.min(curve.length - 1, Math.round(hours / STEP))];
}

function finishOf(at: (hours: number) => number): number {
  let hours = 24 * 40;
  while (hours > 0 && at(hours) - at(hours + RULE.hours) <= RULE.changePlato) {
    hours -= 0.1;
  }
  return hours;
}

// Sugar ferments and malt, weak and strong, quick and slow.
const TEN: Kinetics[] = [
  { original: 9, final: -1.5, growth: 0.15, half: 1, lag: 8, fade: Infinity },
  { original: 9.5, final: -1.2, growth: 0.1, half: 2, lag: 15, fade: 900 },
  { original: 10, final: -1.8, growth: 0.12, half: 0.5, lag: 20, fade: Infinity },
  { original: 12, final: 2.5, growth: 0.2, half: 1, lag: 6, fade: Infinity },
  { original: 12.5, final: 3, growth: 0.15, half: 2, lag: 10, fade: 1200 },
  { original: 15, final: 3.8, growth: 0.12, half: 1.5, lag: 12, fade: Infinity },
  { original: 18, final: -1.5, growth: 0.1, half: 2, lag: 15, fade: 1500 },
  { original: 22, final: -2, growth: 0.1, half: 3, lag: 18, fade: Infinity },
  { original: 11, final: 1.8, growth: 0.08, half: 1, lag: 24, fade: 1000 },
  { original: 8, final: -1, growth: 0.18, half: 0.8, lag: 10, fade: Infinity },
];

/** Daily readings at an uneven hour, a quarter of the days missing, each with a normal error of 0.1 °P. */
function readings(at: (hours: number) => number, seed: number): CurvePoint[] {
  const generator = xoroshiro128plus(seed);
  const uniform = (): number => uniformFloat64(generator);
  for (let i = 0; i < 50; i += 1) uniform();
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const points = [{ hours: 0, plato: at(0) + 0.1 * normal() }];
  for (let day = 1; day < 45; day += 1) {
    if (uniform() >= 0.25) {
      const hours = 24 * day + 6 * (uniform() - 0.5);
      points.push({ hours, plato: at(hours) + 0.1 * normal() });
    }
  }
  return points;
}

test('the finish lies within the stated interval from half-way on in nine of ten', () => {
  const widths: number[] = [];
  const held = TEN.map((kinetics, index) => {
    const at = simulated(kinetics);
    const finish = finishOf(at);
    const all = readings(at, 100 + index);
    // The plan is off by half a degree: no plan is right.
    const expectedFinal = { plato: kinetics.final + (index % 2 === 0 ? 0.5 : -0.5), standardUncertainty: 0.7 };
    const halfWay = (kinetics.original + kinetics.final) / 2;
    const from = all.findIndex(({ plato }) => plato <= halfWay);
    let isHeld = true;
    for (let count = Math.max(4, from + 1); count <= all.length && all[count - 1].hours < finish; count += 1) {
      const forecast = forecastFermentation({ points: all.slice(0, count), expectedFinal, terminal: RULE });
      const { low, high } = forecast?.finishHours ?? { low: Infinity, high: -Infinity };
      isHeld &&= low <= finish && finish <= high;
      widths.push((high - low) / finish);
    }
    return isHeld;
  });
  expect(held.filter(Boolean).length).toBeGreaterThanOrEqual(9);
  // An interval that says nothing would not do.
  expect(widths.length).toBeGreaterThanOrEqual(15);
  const median = widths.sort((a, b) => a - b)[Math.floor(widths.length / 2)];
  expect(median).toBeLessThan(0.6);
});

test('a curve without noise and with a known end is forecast more and more exactly', () => {
  const at = simulated(TEN[0]);
  const finish = finishOf(at);
  const points = Array.from({ length: 20 }, (_, index) => ({ hours: 12 * index, plato: at(12 * index) }));
  const until = (hours: number) =>
    forecastFermentation({
      points: points.filter((each) => each.hours <= hours),
      expectedFinal: { plato: -1.5, standardUncertainty: 0.3 },
      terminal: RULE,
    });
  const [early, late] = [until(finish / 2), until(finish)].map((each) => each?.finishHours);
  expect((late?.high ?? NaN) - (late?.low ?? NaN)).toBeLessThan((early?.high ?? NaN) - (early?.low ?? NaN));
  expect(Math.abs((late?.value ?? NaN) - finish)).toBeLessThan(24);
  const { low = NaN, high = NaN } = until(finish)?.finalPlato ?? {};
  expect(low).toBeLessThan(-1.5);
  expect(high).toBeGreaterThan(-1.5);
  expect(until(finish)).toEqual(until(finish));
});

test('it is too early with three readings, or before a tenth of the fall', () => {
  const expectedFinal = { plato: 2, standardUncertainty: 1 };
  const points = [12, 11.95, 11.9, 11.9, 11.2].map((plato, index) => ({ hours: 12 * index, plato }));
  const input = { expectedFinal, terminal: RULE };
  expect(forecastFermentation({ ...input, points: [] })).toBeUndefined();
  expect(forecastFermentation({ ...input, points: [points[0], points[2], points[4]] })).toBeUndefined();
  expect(forecastFermentation({ ...input, points })).toBeUndefined();
  const further = [...points, { hours: 60, plato: 10.9 }];
  expect(forecastFermentation({ ...input, points: further })).toBeDefined();
});

// NIST StRD "Misra1a" (lower difficulty), certified values: y = b1(1 − exp(−b2·x)); from memory.
test('least squares reproduces certified parameters', () => {
  const x = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0];
  const y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78];
  const fit = leastSquares(
    ([b1, b2]) => x.map((each, i) => y[i] - 100 * b1 * (1 - Math.exp(-(b2 / 1000) * each))),
    [2.5, 0.5],
  );
  const certified = [238.94212918, 0.55015643181];
  const found = [100 * (fit?.parameters[0] ?? NaN), fit?.parameters[1] ?? NaN];
  recordReference({
    table: 'Least squares: NIST Misra1a',
    rows: 2,
    largestDeviation: Math.max(...found.map((each, i) => Math.abs(each / certified[i] - 1))),
    tolerance: 1e-5,
    unit: 'relative',
    source: 'NIST Statistical Reference Datasets, nonlinear regression (from memory)',
  });
  expect(100 * (fit?.parameters[0] ?? NaN)).toBeCloseTo(238.94212918, 3);
  expect((fit?.parameters[1] ?? NaN) / 1000).toBeCloseTo(5.5015643181e-4, 9);
  expect(fit?.chiSquare).toBeCloseTo(0.12455138894, 8);
  // Certified standard deviations: 2.7070075241 and 7.2668688436e-6, with the residual standard deviation 0.10187876330.
  const [[l11], [l21, l22]] = fit?.covarianceRoot ?? [[NaN], [NaN, NaN]];
  expect(100 * l11 * 0.1018787633).toBeCloseTo(2.7070075241, 3);
  expect((Math.hypot(l21, l22) / 1000) * 0.1018787633).toBeCloseTo(7.2668688436e-6, 9);
});

test('parameters that the residuals do not determine have no fit', () => {
  expect(leastSquares(([a, b]) => [a + b - 1, 2 * (a + b) - 2], [0, 0])).toBeUndefined();
});
