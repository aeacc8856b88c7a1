/** Relative distance by which rounding may move a value beyond the limit of a range. */
const RELATIVE_ROUNDING = 1e-12;

/**
 * The value, or the limit of the range where the value exceeds it only by rounding, so that a limit converts back to itself.
 */
export function snapToEdge(value: number, min: number, max: number): number {
  const rounding = RELATIVE_ROUNDING * Math.max(1, Math.abs(value));
  if (value < min && value >= min - rounding) return min;
  return value > max && value <= max + rounding ? max : value;
}
