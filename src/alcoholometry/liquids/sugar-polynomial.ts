import { SPS4_B } from '../tables/sucrose-sps4.js';

/** Number of powers of the mass fraction, from the first on: without sugar the sum is zero. */
export const SUGAR_TERMS = 6;

/** Writes the coefficients of w^1…w^6 at temperature `t` into `out`, for one evaluation by Horner's rule in w. */
export function sugarTermsAt(t: number, out: Float64Array): void {
  const x = (t - 20) / 100;
  for (let k = 0; k < SUGAR_TERMS; k++) out[k] = 0;
  for (let m = SPS4_B.length - 1; m >= 0; m--) {
    const row = SPS4_B[m];
    for (let k = 0; k < row.length; k++) out[k] = out[k] * x + row[k];
  }
}

/** The same for the derivative with respect to temperature. */
export function sugarSlopesAt(t: number, out: Float64Array): void {
  const x = (t - 20) / 100;
  for (let k = 0; k < SUGAR_TERMS; k++) out[k] = 0;
  for (let m = SPS4_B.length - 1; m >= 1; m--) {
    const row = SPS4_B[m];
    for (let k = 0; k < row.length; k++) out[k] = out[k] * x + (m * row[k]) / 100;
  }
}

/** Σ c_k w^(k+1): increase of the density of water by sugar, kg/m3. */
export function sugarExcess(c: Float64Array, w: number): number {
  return w * (c[0] + w * (c[1] + w * (c[2] + w * (c[3] + w * (c[4] + w * c[5])))));
}

/** Its derivative in w. */
export function sugarExcessSlope(c: Float64Array, w: number): number {
  return c[0] + w * (2 * c[1] + w * (3 * c[2] + w * (4 * c[3] + w * (5 * c[4] + w * 6 * c[5]))));
}
