// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { isFinite } = Number;

/** Details of a refusal. `pointer` is the name of the refused input; the HTTP layer maps it to a JSON pointer. */
interface ProblemDetails {
  readonly pointer?: string;
  readonly range?: readonly [number, number];
  readonly unit?: string;
  readonly allowed?: readonly string[];
  readonly [key: string]: unknown;
}

/**
 * Error of the two pure libraries: input that was understood but cannot be used in the computation.
 *
 * @param rule stable kebab-case code of the rule that was broken, for example `out-of-range`, `not-finite`, `contradictory`,
 *   `no-solution`, `too-many`, `too-few`, `empty-budget`, `negative-uncertainty`, `not-positive-semi-definite`, `unknown-unit`.
 * @param message plain words for the person who sent the input.
 * @param details the values of the message again, as data.
 */
export class MetrologyError extends Error {
  constructor(
    readonly rule: string,
    message: string,
    readonly details: ProblemDetails = {},
  ) {
    super(message);
    this.name = 'MetrologyError';
  }
}

/** Returns `value`, or throws `not-finite` for NaN, an infinity or what is no number at all. */
export function requireFinite(name: string, value: number, unit?: string): number {
  if (!isFinite(value)) {
    throw new MetrologyError('not-finite', `${name} must be a finite number.`, { pointer: name, unit });
  }
  return value;
}

/** A number for a message: four decimals, or four significant digits below one; the details hold it whole. */
export const shortNumber = (value: number): string =>
  String(Number(Math.abs(value) < 1 ? value.toPrecision(4) : value.toFixed(4)));

/** Returns `value` if it lies in the closed range [min, max]; throws `not-finite` or `out-of-range` with the range and its unit. */
export function requireInRange(name: string, value: number, min: number, max: number, unit?: string): number {
  requireFinite(name, value, unit);
  if (value < min || value > max) {
    const suffix = unit === undefined || unit === '' ? '' : ` ${unit}`;
    throw new MetrologyError(
      'out-of-range',
      `${name} must lie between ${shortNumber(min)} and ${shortNumber(max)}${suffix}; got ${shortNumber(value)}.`,
      {
        pointer: name,
        range: [min, max],
        unit,
        value,
      },
    );
  }
  return value;
}

/** Returns `count` if it is a whole number in [min, max]; throws `not-whole`, `too-few` or `too-many` with the range. */
export function requireCount(name: string, count: number, min: number, max: number): number {
  if (!Number.isInteger(count)) {
    throw new MetrologyError('not-whole', `${name} must be a whole number.`, { pointer: name, range: [min, max] });
  }
  if (count < min || count > max) {
    const rule = count < min ? 'too-few' : 'too-many';
    throw new MetrologyError(rule, `${name}: from ${min} to ${max} are allowed; got ${count}.`, {
      pointer: name,
      range: [min, max],
      value: count,
    });
  }
  return count;
}
