/** Rounding of a computed value may put it this far, relatively, beyond an edge that it stands on. */
const HAIR = 1e-12;

/** The value, or the edge of the range where it lies beyond it by no more than rounding; so that edges convert back and forth. */
export function snapToEdge(value: number, min: number, max: number): number {
  const hair = HAIR * Math.max(1, Math.abs(value));
  if (value < min && value >= min - hair) return min;
  return value > max && value <= max + hair ? max : value;
}
