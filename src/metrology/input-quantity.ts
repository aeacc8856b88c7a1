/**
 * Distribution of an input. The law of propagation needs only its standard uncertainty; Monte Carlo draws from the distribution.
 * `student` means x + u·t(ν): *u* is the scale, as a Type A evaluation of JCGM 100 4.2 gives it.
 */
export type Distribution = 'normal' | 'rectangular' | 'triangular' | 'u-shaped' | 'student';

/** One input of a measurement: its value, its standard uncertainty in the same unit, and the origin of that uncertainty. */
export interface InputQuantity {
  readonly name: string;
  readonly value: number;
  readonly standardUncertainty: number;
  /** From 1 upwards; Infinity (the default) where the uncertainty is taken as known. */
  readonly degreesOfFreedom?: number;
  /** `normal` by default. */
  readonly distribution?: Distribution;
  /** Inputs of one origin are fully correlated: their contributions add linearly, with their signs. */
  readonly origin: string;
  readonly unit?: string;
}
