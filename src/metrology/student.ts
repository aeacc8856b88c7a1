import { normalCdf, normalQuantile } from './normal.js';
import { MetrologyError, requireFinite, requireInRange } from './problem.js';

/**
 * ln Γ(a + ½) − ln Γ(a), a > 0: asymptotic series in odd powers of 1/a above 25, reached by Γ(a + 1) = a·Γ(a); error 1e-14 absolute.
 * Taken as one difference, because two logarithms of large gamma functions would cancel.
 */
function logGammaHalfStep(a: number): number {
  let product = 1;
  let x = a;
  for (; x < 25; x += 1) product *= x / (x + 0.5);
  const r = 1 / x;
  const r2 = r * r;
  const series = r * (-1 / 8 + r2 * (1 / 192 + r2 * (-1 / 640 + r2 * (17 / 14336 - (r2 * 31) / 18432))));
  return 0.5 * Math.log(x) + series + Math.log(product);
}

/** Continued fraction of the incomplete beta function (modified Lentz), convergent for x < (a + 1)/(a + b + 2). */
function betaFraction(a: number, b: number, x: number): number {
  const tiny = 1e-300;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < tiny ? tiny : d);
  let result = d;
  for (let m = 1; m <= 10000; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    c = 1 + even / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = Math.abs(c) < tiny ? tiny : c;
    result *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    c = 1 + odd / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = Math.abs(c) < tiny ? tiny : c;
    const step = d * c;
    result *= step;
    if (Math.abs(step - 1) < 1e-15) return result;
  }
  throw new MetrologyError('no-solution', 'The incomplete beta function did not converge.');
}

/** Regularized incomplete beta function I(x; a, ½); `y` is 1 − x, handed over so that no digits are lost near x = 1. */
function incompleteBetaHalf(a: number, x: number, y: number): number {
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  const front = Math.exp(logGammaHalfStep(a) + a * (x < 0.5 ? Math.log(x) : Math.log1p(-y))) * Math.sqrt(y / Math.PI);
  return x < (a + 1) / (a + 2.5) ? (front * betaFraction(a, 0.5, x)) / a : 1 - 2 * front * betaFraction(0.5, a, y);
}

/** Above this many degrees of freedom the expansion about the normal law is exact to 1e-12 and is used instead. */
const LARGE_DEGREES = 10_000;

/** Cornish–Fisher expansion of the t quantile about the normal quantile z, to ν⁻³ (Abramowitz & Stegun 26.7.5, from memory). */
function largeDegreesQuantile(z: number, nu: number): number {
  const z2 = z * z;
  const g1 = (z * (z2 + 1)) / 4;
  const g2 = (z * ((5 * z2 + 16) * z2 + 3)) / 96;
  const g3 = (z * (((3 * z2 + 19) * z2 + 17) * z2 - 15)) / 384;
  return z + g1 / nu + g2 / (nu * nu) + g3 / (nu * nu * nu);
}

/**
 * Distribution function of Student's t, through the incomplete beta function.
 *
 * @param t any finite number. @param degreesOfFreedom from 1 upwards; Infinity is the normal law. Stated error 1e-12
 * absolute to ν = 1e5, 1e-10 to 1e7, 3e-9 beyond.
 * @throws MetrologyError `not-finite`, `out-of-range`
 */
export function studentCdf(t: number, degreesOfFreedom: number): number {
  requireFinite('t', t);
  requireDegreesOfFreedom(degreesOfFreedom);
  if (degreesOfFreedom > 1e8) return normalCdf(t);
  const scale = degreesOfFreedom + t * t;
  const tail = 0.5 * incompleteBetaHalf(degreesOfFreedom / 2, degreesOfFreedom / scale, (t * t) / scale);
  return t < 0 ? tail : 1 - tail;
}

/**
 * Quantile of Student's t: Newton's method kept inside a bracket, on `studentCdf`.
 *
 * @param p probability, 0 < p < 1. @param degreesOfFreedom from 1 upwards; Infinity is the normal law. Stated error 1e-10 relative
 *   for probabilities from 1e-6 to 1 − 1e-6; JCGM 100 Table G.2 is reproduced to its printed digits.
 * @throws MetrologyError `not-finite`, `out-of-range`
 */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  requireDegreesOfFreedom(degreesOfFreedom);
  const z = normalQuantile(p);
  if (degreesOfFreedom === Infinity || p === 0.5) return z;
  if (degreesOfFreedom >= LARGE_DEGREES) return largeDegreesQuantile(z, degreesOfFreedom);
  // Solved for the upper half, where the tail probability keeps its digits.
  const tail = p < 0.5 ? p : 1 - p;
  const nu = degreesOfFreedom;
  const logDensity = logGammaHalfStep(nu / 2) - 0.5 * Math.log(nu * Math.PI);
  let low = 0;
  let high = Math.max(1, Math.abs(z));
  while (studentCdf(-high, nu) > tail) {
    low = high;
    high *= 2;
  }
  let t = (low + high) / 2;
  for (let i = 0; i < 200; i += 1) {
    const excess = studentCdf(-t, nu) - tail;
    if (excess > 0) low = t;
    else high = t;
    const slope = Math.exp(logDensity - ((nu + 1) / 2) * Math.log1p((t * t) / nu));
    let next = t + excess / slope;
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (Math.abs(next - t) <= 1e-14 * t) return p < 0.5 ? -next : next;
    t = next;
  }
  return p < 0.5 ? -t : t;
}

const cachedFactors = new Map<number, Float64Array>();

/**
 * Two-sided coverage factor k of JCGM 100 G.3: the t quantile for the coverage probability and the degrees of freedom cut to a whole
 * number (as H.1.6 does). Whole numbers up to 10,000 are remembered.
 *
 * @param degreesOfFreedom from 1 upwards, or Infinity: then the normal quantile, 1.959964 at 95 % (not the rounded 2).
 * @param coverageProbability 0.5 to 0.9999. Stated error 1e-10 relative.
 * @throws MetrologyError `not-finite`, `out-of-range`
 */
export function coverageFactorOf(degreesOfFreedom: number, coverageProbability = 0.95): number {
  requireInRange('coverageProbability', coverageProbability, 0.5, 0.9999);
  requireDegreesOfFreedom(degreesOfFreedom);
  let factors = cachedFactors.get(coverageProbability);
  if (factors === undefined) {
    // A caller that sweeps over probabilities must not grow the table without end.
    if (cachedFactors.size >= 16) cachedFactors.clear();
    factors = new Float64Array(LARGE_DEGREES + 1);
    factors[0] = normalQuantile(0.5 + coverageProbability / 2);
    cachedFactors.set(coverageProbability, factors);
  }
  if (degreesOfFreedom === Infinity) return factors[0];
  // A hair is added so that one component of 16 degrees does not come out as 15.999… and 15.
  const whole = Math.floor(degreesOfFreedom * (1 + 1e-12));
  if (whole > LARGE_DEGREES) return largeDegreesQuantile(factors[0], whole);
  if (factors[whole] === 0) factors[whole] = studentQuantile(0.5 + coverageProbability / 2, whole);
  return factors[whole];
}

function requireDegreesOfFreedom(degreesOfFreedom: number): void {
  if (degreesOfFreedom === Infinity) return;
  requireInRange('degreesOfFreedom', degreesOfFreedom, 1, Number.MAX_VALUE);
}
