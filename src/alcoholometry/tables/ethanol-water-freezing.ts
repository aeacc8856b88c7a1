/**
 * Freezing temperature of ethanol–water, [mass fraction, °C].
 *
 * Source: CRC Handbook 102nd ed. (2021), Concentrative Properties of Aqueous Solutions, column freezing point
 * depression. Flag: seen from 9 % up, memory below. Other tables differ by up to 1 K near 30 %.
 */
export const ETHANOL_WATER_FREEZING: readonly (readonly [number, number])[] = [
  [0, 0],
  [0.02, -0.81],
  [0.05, -2.09],
  [0.09, -3.96],
  [0.1, -4.47],
  [0.12, -5.56],
  [0.14, -6.73],
  [0.16, -8.01],
  [0.18, -9.4],
  [0.2, -10.92],
  [0.22, -12.6],
  [0.24, -14.47],
  [0.26, -16.41],
  [0.28, -18.43],
  [0.3, -20.47],
  [0.32, -22.44],
];
