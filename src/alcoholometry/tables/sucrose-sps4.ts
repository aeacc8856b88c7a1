/**
 * Sucrose solutions: rho(w, t) = rho_water(t) + Σ_m Σ_k b[m][k] w^(k+1) ((t − 20)/100)^m, w mass fraction, kg/m3.
 *
 * Source: ICUMSA SPS-4 (1998), Bettin, Emmerich, Spieweck, Dobberstein. Flag: memory (coefficients recalled; checked
 * against the CRC Handbook at 20 °C, 1–40 %: at most 0.12 kg/m3, and against the Toruń table at 15 and 20 °C,
 * 0–37 %: at most 0.09 kg/m3). Against the older CRC rows from 50 % up it is 0.15 to 0.8 kg/m3 higher.
 */
export const SPS4_B: readonly (readonly number[])[] = [
  [385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289],
  [-46.272, -7.172, 1.1597, 5.1126, 17.5254],
  [59.7712, 7.2491, 12.363, -35.4791],
  [-47.2207, -21.6977, 27.6301],
  [18.3184, 12.3081],
];
