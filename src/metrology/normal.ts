import libraryCdf from '@stdlib/stats-base-dists-normal-cdf';
import { MetrologyError, requireFinite } from './problem.js';

// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { abs, log, sqrt } = Math;

/** Coefficients of algorithm AS 241, highest power first, to double precision (from memory; the tests hold them to 1e-14). */
const CENTRAL_TOP = [
  2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946, 1971.5909503065513,
  133.14166789178438, 3.3871328727963665,
];
const CENTRAL_BOTTOM = [
  5226.495278852546, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751, 687.1870074920579,
  42.31333070160091, 1.0,
];
const TAIL_TOP = [
  0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045,
  5.769497221460691, 4.630337846156546, 1.4234371107496835,
];
const TAIL_BOTTOM = [
  1.0507500716444169e-9, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008, 0.6897673349851,
  1.6763848301838038, 2.053191626637759, 1.0,
];
const FAR_TOP = [
  2.0103343992922881e-7, 2.7115555687434876e-5, 0.0012426609473880784, 0.026532189526576124, 0.29656057182850487,
  1.7848265399172913, 5.463784911164114, 6.657904643501103,
];
const FAR_BOTTOM = [
  2.0442631033899397e-15, 1.421511758316446e-7, 1.8463183175100548e-5, 0.0007868691311456133, 0.014875361290850615,
  0.1369298809227358, 0.599832206555888, 1.0,
];

function horner(coefficients: readonly number[], r: number): number {
  let sum = coefficients[0];
  for (let i = 1; i < coefficients.length; i += 1) sum = sum * r + coefficients[i];
  return sum;
}

/**
 * Distribution function of the standard normal law, from `@stdlib/stats-base-dists-normal-cdf`.
 *
 * @param x any finite number, in standard deviations. Error 2e-15 absolute.
 * @throws MetrologyError `not-finite`
 */
export function normalCdf(x: number): number {
  requireFinite('x', x);
  return libraryCdf(x, 0, 1);
}

/**
 * Quantile of the standard normal law: Wichura's algorithm AS 241, PPND16 (Applied Statistics 37, 1988). The statistics library that
 * serves the other functions is less exact here: 1e-12 relative at p = 1e-6, 1e-5 at 1e-15.
 *
 * @param p probability, 0 < p < 1. Stated error 1e-14 relative.
 * @throws MetrologyError `not-finite`, `out-of-range`
 */
export function normalQuantile(p: number): number {
  requireFinite('probability', p);
  if (!(p > 0 && p < 1)) {
    throw new MetrologyError('out-of-range', 'A probability must lie strictly between 0 and 1.', {
      pointer: 'probability',
      range: [0, 1],
    });
  }
  return normalQuantileUnchecked(p);
}

/** As `normalQuantile`, without its check: for inner loops that draw p strictly inside (0, 1). */
export function normalQuantileUnchecked(p: number): number {
  const q = p - 0.5;
  if (abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (q * horner(CENTRAL_TOP, r)) / horner(CENTRAL_BOTTOM, r);
  }
  const r = sqrt(-log(q < 0 ? p : 1 - p));
  const z =
    r <= 5
      ? horner(TAIL_TOP, r - 1.6) / horner(TAIL_BOTTOM, r - 1.6)
      : horner(FAR_TOP, r - 5) / horner(FAR_BOTTOM, r - 5);
  return q < 0 ? -z : z;
}
