/**
 * CIPM 2001 formula, density of air-free SMOW at 101325 Pa: rho = a5 (1 − (t + a1)²(t + a2) / (a3 (t + a4))).
 * Source: Tanaka, Girard, Davis, Peuto, Bignell, Metrologia 38 (2001) 301. Flag: seen (on a page quoting the paper).
 * Stated error: published table reproduced within 5e-5 kg/m3; IAPWS-95 within 1.2e-3 kg/m3. Range 0–40 °C.
 */
export const CIPM_WATER = { a1: -3.983035, a2: 301.797, a3: 522528.9, a4: 69.34881, a5: 999.97495 } as const;

/**
 * Kell's rational formula refitted to ITS-90 (Bettin, Spieweck), ascending powers of t; the water term of ICUMSA SPS-4.
 * Source: IP Standard Methods 1998, Appendix G. Flag: seen. Stated uncertainty 0.006 kg/m3. Range 0–100 °C here
 * (Kell gives 0–150 °C).
 */
export const KELL_WATER_NUMERATOR: readonly number[] = [
  999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12,
];
export const KELL_WATER_DENOMINATOR_SLOPE = 16.887236e-3;
