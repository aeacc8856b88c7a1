import { Decimal } from 'decimal.js';
import { MetrologyError } from './problem.js';

/**
 * Decimal arithmetic of the books: 40 significant digits, so that every product of two amounts (under 10⁹, 6 places) is exact, and
 * half-even where a division has to round at all. It has its own constructor, so that settings made elsewhere do not affect it.
 */
export const Exact = Decimal.clone({
  precision: 40,
  rounding: Decimal.ROUND_HALF_EVEN,
  toExpNeg: -40,
  toExpPos: 40,
});

export type { Decimal } from 'decimal.js';

/**
 * Decimal places of the books: amounts are below 10⁹ and have at most 6 places (the `litres` domain of the database).
 */
const BOOK_PLACES = 6;
export const BOOK_LIMIT = 1_000_000_000;

const CANONICAL = /^(0|-?[1-9]\d*|-?(0|[1-9]\d*)\.\d*[1-9])$/;

/**
 * Reads a decimal in canonical form: no exponent, no plus sign, no leading or trailing zeros, no minus zero, at most 40 digits.
 *
 * @param text for example `12.5`, `-0.000001`. @param pointer name of the input, for the refusal.
 * @throws MetrologyError `not-canonical`
 */
export function parseCanonical(text: string, pointer = 'value'): Decimal {
  if (text.length > 42 || !CANONICAL.test(text)) {
    throw new MetrologyError(
      'not-canonical',
      `${pointer} must be a plain decimal such as 12.5, without exponent or trailing zeros.`,
      {
        pointer,
      },
    );
  }
  return new Exact(text);
}

/** A finite double as the shortest decimal that stands for it: 0.1 becomes 0.1. Throws `not-finite`. */
export function decimalOf(value: number | Decimal, pointer = 'value'): Decimal {
  const decimal = new Exact(value);
  if (!decimal.isFinite()) {
    throw new MetrologyError('not-finite', `${pointer} must be a finite number.`, { pointer });
  }
  return decimal;
}

/** Canonical text of a finite decimal: no exponent, no trailing zeros, no minus zero; `parseCanonical` reads it back. Throws `not-finite`. */
export function canonicalText(value: Decimal): string {
  const decimal = decimalOf(value);
  return decimal.isZero() ? '0' : decimal.toFixed();
}

/** Half-even to 6 places, the scale of the books. Exact; throws `not-finite`. */
export function toPlaces6HalfEven(value: Decimal): Decimal {
  return decimalOf(value).toDecimalPlaces(BOOK_PLACES, Decimal.ROUND_HALF_EVEN);
}

/** Exact sum; 0 for none. Throws `not-finite`. */
export function sumOf(values: readonly Decimal[]): Decimal {
  return values.reduce<Decimal>((sum, value) => sum.plus(decimalOf(value)), new Exact(0));
}
