/**
 * Factors by which a drop in gravity (points of specific gravity 20/20) gives % vol: [drop from, drop to, factor].
 *
 * Source: HMRC Notice 226, paragraph 30.3 (table credited to the Laboratory of the Government Chemist; withdrawn February
 * 2025). Flag: quoted in a public discussion, agrees with memory. Three decimals as printed; at its steps the strength jumps.
 */
export const GRAVITY_DROP_FACTORS: readonly (readonly [number, number, number])[] = [
  [0.0, 6.9, 0.125],
  [7.0, 10.4, 0.126],
  [10.5, 17.2, 0.127],
  [17.3, 26.1, 0.128],
  [26.2, 36.0, 0.129],
  [36.1, 46.5, 0.13],
  [46.6, 57.1, 0.131],
  [57.2, 67.9, 0.132],
  [68.0, 78.8, 0.133],
  [78.9, 89.7, 0.134],
  [89.8, 100.7, 0.135],
];
