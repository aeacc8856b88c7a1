import { MetrologyError, requireFinite } from '../../src/metrology/problem.js';

/**
 * A value with its gradient towards a fixed list of variables: forward-mode automatic differentiation. Derivatives are exact to
 * rounding (1e-15 relative an operation); there is no step width. Results without a finite value are refused.
 */
export interface Dual {
  readonly value: number;
  readonly gradient: Float64Array;
}

/** Argument of an operation: a dual, or a constant. */
export type DualLike = Dual | number;

/** The variable with number `index` of `count`: its gradient is the unit vector. Throws `not-finite`. */
export function variable(value: number, index: number, count: number): Dual {
  requireFinite('value', value);
  const gradient = new Float64Array(count);
  gradient[index] = 1;
  return { value, gradient };
}

export function valueOf(a: DualLike): number {
  return typeof a === 'number' ? a : a.value;
}

/** a + b. Throws `not-finite` on overflow, as all operations here do. */
export function add(a: DualLike, b: DualLike): Dual {
  return lift(valueOf(a) + valueOf(b), 1, a, 1, b);
}

/** a − b. */
export function subtract(a: DualLike, b: DualLike): Dual {
  return lift(valueOf(a) - valueOf(b), 1, a, -1, b);
}

/** a × b. */
export function multiply(a: DualLike, b: DualLike): Dual {
  return lift(valueOf(a) * valueOf(b), valueOf(b), a, valueOf(a), b);
}

/** a ÷ b. Throws `out-of-range` for b = 0. */
export function divide(a: DualLike, b: DualLike): Dual {
  const divisor = valueOf(b);
  if (divisor === 0) throw new MetrologyError('out-of-range', 'Division by zero.', { pointer: 'divisor' });
  const quotient = valueOf(a) / divisor;
  return lift(quotient, 1 / divisor, a, -quotient / divisor, b);
}

/** a to the power b. A constant exponent takes any base for which the power and its slope are finite; a dual exponent needs a > 0. */
export function pow(a: DualLike, b: DualLike): Dual {
  const base = valueOf(a);
  const exponent = valueOf(b);
  const value = base ** exponent;
  const slope = exponent === 0 ? 0 : exponent * base ** (exponent - 1);
  if (typeof b === 'number') return lift(value, slope, a, 0, 0);
  if (!(base > 0))
    throw new MetrologyError('out-of-range', 'A power with a variable exponent needs a base above 0.', {
      pointer: 'base',
    });
  return lift(value, slope, a, value * Math.log(base), b);
}

/** The exponential function. */
export function exp(a: DualLike): Dual {
  const value = Math.exp(valueOf(a));
  return lift(value, value, a, 0, 0);
}

/** The natural logarithm. Throws `out-of-range` for a ≤ 0. */
export function log(a: DualLike): Dual {
  const value = valueOf(a);
  if (!(value > 0))
    throw new MetrologyError('out-of-range', 'A logarithm needs an argument above 0.', { pointer: 'argument' });
  return lift(Math.log(value), 1 / value, a, 0, 0);
}

/** The square root. Throws `out-of-range` for a ≤ 0: at 0 the derivative does not exist. */
export function sqrt(a: DualLike): Dual {
  const value = valueOf(a);
  if (!(value > 0))
    throw new MetrologyError('out-of-range', 'A square root needs an argument above 0.', { pointer: 'argument' });
  const root = Math.sqrt(value);
  return lift(root, 0.5 / root, a, 0, 0);
}

/**
 * Lifts a function whose value and partial derivatives are known at the point: the chain rule.
 *
 * @param partials one for each argument, in the order of `args`.
 * @throws MetrologyError `not-finite`; `contradictory` where the numbers of partials and arguments differ
 */
export function chain(value: number, partials: readonly number[], args: readonly DualLike[]): Dual {
  if (partials.length !== args.length) {
    throw new MetrologyError('contradictory', 'Each argument needs one partial derivative.', { pointer: 'partials' });
  }
  requireFinite('value', value);
  const gradient = new Float64Array(args.reduce<number>((size, arg) => Math.max(size, sizeOf(arg)), 0));
  args.forEach((arg, i) => {
    if (typeof arg !== 'number') accumulate(gradient, requireFinite('partials', partials[i]), arg.gradient);
  });
  return { value, gradient };
}

/**
 * Value and gradient of a function at a point.
 *
 * @param f built from the operations of this file. @param point finite numbers.
 * @throws MetrologyError as the operations do
 */
export function gradientOf(
  f: (variables: Dual[]) => DualLike,
  point: readonly number[],
): { value: number; gradient: number[] } {
  const result = f(point.map((value, i) => variable(value, i, point.length)));
  if (typeof result === 'number') return { value: requireFinite('value', result), gradient: point.map(() => 0) };
  return { value: result.value, gradient: Array.from(result.gradient, (slope) => requireFinite('gradient', slope)) };
}

function sizeOf(a: DualLike): number {
  return typeof a === 'number' ? 0 : a.gradient.length;
}

function accumulate(into: Float64Array, factor: number, gradient: Float64Array): void {
  for (let i = 0; i < gradient.length; i += 1) into[i] += factor * gradient[i];
}

function lift(value: number, slopeA: number, a: DualLike, slopeB: number, b: DualLike): Dual {
  requireFinite('value', value);
  const gradient = new Float64Array(Math.max(sizeOf(a), sizeOf(b)));
  if (typeof a !== 'number') accumulate(gradient, slopeA, a.gradient);
  if (typeof b !== 'number') accumulate(gradient, slopeB, b.gradient);
  return { value, gradient };
}
