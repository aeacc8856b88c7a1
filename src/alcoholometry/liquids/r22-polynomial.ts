import { R22_A, R22_B, R22_C } from '../tables/oiml-r22.js';

/** Highest power of the mass fraction in the general formula. */
export const DEGREE = 11;
const REFERENCE_TEMPERATURE_C = 20;

/** For each power of the mass fraction its polynomial in (t − 20), ascending. */
const ROWS: readonly Float64Array[] = Array.from({ length: DEGREE + 1 }, (_, power) => {
  const constant = R22_A[power];
  const slopes = power === 0 ? R22_B : R22_C.flatMap((row) => (power <= row.length ? [row[power - 1]] : []));
  return Float64Array.from([constant, ...slopes]);
});

/** Writes the coefficients of p^0…p^11 at temperature `t` into `out`, for one evaluation by Horner's rule in p. */
export function coefficientsAt(t: number, out: Float64Array): void {
  const dt = t - REFERENCE_TEMPERATURE_C;
  for (let power = 0; power <= DEGREE; power++) {
    const row = ROWS[power];
    let sum = 0;
    for (let i = row.length - 1; i >= 0; i--) sum = sum * dt + row[i];
    out[power] = sum;
  }
}

/** The same for the derivative with respect to temperature. */
export function slopeCoefficientsAt(t: number, out: Float64Array): void {
  const dt = t - REFERENCE_TEMPERATURE_C;
  for (let power = 0; power <= DEGREE; power++) {
    const row = ROWS[power];
    let sum = 0;
    for (let i = row.length - 1; i >= 1; i--) sum = sum * dt + i * row[i];
    out[power] = sum;
  }
}

/** Value of the polynomial in p. */
export function horner(c: Float64Array, p: number): number {
  let sum = c[DEGREE] as number;
  for (let k = DEGREE - 1; k >= 0; k--) sum = sum * p + c[k];
  return sum;
}

/** Derivative of the polynomial in p. */
export function hornerSlope(c: Float64Array, p: number): number {
  let sum = DEGREE * c[DEGREE];
  for (let k = DEGREE - 1; k >= 1; k--) sum = sum * p + k * c[k];
  return sum;
}

/** The coefficients at 20 °C, used by every strength by volume. */
export const AT_20: Float64Array = new Float64Array(DEGREE + 1);
coefficientsAt(REFERENCE_TEMPERATURE_C, AT_20);
