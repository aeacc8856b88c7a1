// Speed of the physics on one thread, from dist/. Prints figures and machine; ends with 1 where a figure is missed.
// Usage: npm run bench:core
import { cpus } from 'node:os';
import { performance } from 'node:perf_hooks';

const at = (path) => new URL(`../dist/${path}.js`, import.meta.url);
const { massFractionFromDensity, r22DensityKgM3 } = await import(at('alcoholometry/liquids/ethanol-water'));
const { massBalance } = await import(at('alcoholometry/strength/mass-balance'));
const { massBalanceMonteCarlo } = await import(at('alcoholometry/strength/mass-balance-draws'));

const ROUNDS = 7;
const DRAWS = 100_000;

/** The fastest of some rounds, what the code can do where nothing else wants the processor, and the middle one. */
function timed(work) {
  const rounds = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const start = performance.now();
    work();
    rounds.push(performance.now() - start);
  }
  rounds.sort((a, b) => a - b);
  return { fastestMs: rounds[0], medianMs: rounds[(ROUNDS - 1) / 2] };
}

const perSecond = (count, milliseconds) => (1000 * count) / milliseconds;
const rate = (count, milliseconds) => Math.round(perSecond(count, milliseconds)).toLocaleString('en');

/** Densities over the whole range, −20 to 40 °C where it is liquid, each another one, so that nothing can be kept. */
function densityCases(count) {
  const cases = {
    fractions: new Float64Array(count),
    temperatures: new Float64Array(count),
    densities: new Float64Array(count),
  };
  let state = 12345;
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  for (let i = 0; i < count; i += 1) {
    const fraction = uniform();
    // Below 0 °C only where even pure solutions of that strength are liquid.
    const coldest = fraction > 0.35 ? -20 : 0;
    cases.fractions[i] = fraction;
    cases.temperatures[i] = coldest + uniform() * (40 - coldest);
    cases.densities[i] = r22DensityKgM3(fraction, cases.temperatures[i]);
  }
  return cases;
}

function densityInverse() {
  const count = 300_000;
  const { fractions, temperatures, densities } = densityCases(count);
  let largestError = 0;
  const { fastestMs, medianMs } = timed(() => {
    largestError = 0;
    for (let i = 0; i < count; i += 1) {
      const found = massFractionFromDensity(densities[i], temperatures[i]);
      const error = Math.abs(found - fractions[i]) / Math.max(fractions[i], 1e-3);
      if (error > largestError) largestError = error;
    }
  });
  return {
    what: 'Density inverse, general formula, no table, 1e-9',
    figure: `${rate(count, fastestMs)} a second, median ${rate(count, medianMs)}, largest relative error ${largestError.toExponential(1)}`,
    wanted: 'at least 1,000,000 a second',
    isMet: perSecond(count, fastestMs) >= 1_000_000 && largestError <= 1e-9,
  };
}

const component = (name, standardUncertainty, origin) => ({ name, standardUncertainty, origin });

/** Two gravities with their temperatures, the convention and the model: a budget of six inputs. */
const finding = (i) => ({
  original: {
    value: 1.04 + 0.00001 * (i % 3000),
    scale: 'sg-20-20',
    sampleTemperatureC: 18,
    components: [component('original gravity', 2e-4, 'h/1060-1080')],
    temperatureComponents: [component('original temperature', 0.2, 't1')],
  },
  final: {
    value: 0.996 + 0.00001 * (i % 500),
    scale: 'sg-20-20',
    sampleTemperatureC: 21,
    components: [component('final gravity', 2e-4, 'h/980-1000')],
    temperatureComponents: [component('final temperature', 0.2, 't2')],
  },
  model: { kind: 'malt' },
});

function massBalanceFindings() {
  const count = 20_000;
  const inputs = Array.from({ length: count }, (_, i) => finding(i));
  let lines = 0;
  const { fastestMs, medianMs } = timed(() => {
    for (const input of inputs) lines = massBalance(input).strengthPercent.budget.length;
  });
  return {
    what: `Mass-balance finding with its first-order budget of ${lines} inputs`,
    figure: `${rate(count, fastestMs)} a second, median ${rate(count, medianMs)}`,
    wanted: 'at least 20,000 a second, six inputs',
    isMet: perSecond(count, fastestMs) >= 20_000 && lines === 6,
  };
}

function monteCarlo() {
  let draws = 0;
  const { fastestMs, medianMs } = timed(() => {
    const result = massBalanceMonteCarlo(finding(1500), { seed: 1, draws: DRAWS });
    draws = result.draws - result.rejected;
  });
  return {
    what: `Monte Carlo of the same, ${draws.toLocaleString('en')} draws`,
    figure: `${fastestMs.toFixed(0)} ms, median ${medianMs.toFixed(0)}`,
    wanted: 'under 250 ms, 100,000 draws',
    isMet: fastestMs < 250 && draws === DRAWS,
  };
}

const results = [densityInverse(), massBalanceFindings(), monteCarlo()];
const processor = cpus()[0]?.model ?? 'unknown processor';
console.info(
  `Node ${process.version}, ${process.platform}/${process.arch}, ${processor}, one thread, fastest of ${ROUNDS}`,
);
for (const { what, figure, wanted, isMet } of results) {
  console.info(`${isMet ? 'met   ' : 'MISSED'} ${what}: ${figure} (wanted ${wanted})`);
}
if (results.some(({ isMet }) => !isMet)) process.exitCode = 1;
