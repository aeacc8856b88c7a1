import { decimalOf, Exact, BOOK_LIMIT, toPlaces6HalfEven, type Decimal } from './decimals.js';
import { MetrologyError, requireFinite } from './problem.js';
import { unitQuestion } from './unit-questions.js';

/** A quantity in a request or an answer: a number and a UCUM code. */
export interface Quantity {
  readonly value: number;
  readonly unit: string;
}

/**
 * Exact conversion factors to the base unit, by property and UCUM code: base = value × factor (temperature apart). Sources: UCUM; the US
 * gallon is 231 cubic inches (27 CFR 30.11), the British gallon 4.54609 L, the pound 0.45359237 kg, the inch 25.4 mm. `[psi]` is the
 * pound times 9.80665 m/s² on a square inch, the only factor without a finite decimal: given to 20 digits.
 */
const FACTORS = {
  volume: {
    L: '1',
    mL: '0.001',
    hL: '100',
    m3: '1000',
    '[gal_us]': '3.785411784',
    '[foz_us]': '0.0295735295625',
    '[pt_us]': '0.473176473',
    '[gal_br]': '4.54609',
    '[pt_br]': '0.56826125',
  },
  mass: { kg: '1', g: '0.001', '[lb_av]': '0.45359237', '[oz_av]': '0.028349523125' },
  temperature: { Cel: '1', '[degF]': '1' },
  pressure: { kPa: '1', bar: '100', '[psi]': '6.8947572931683613368' },
  fraction: { '%': '1' },
  density: { 'kg/m3': '1' },
  time: { min: '1', h: '60', d: '1440' },
} as const satisfies Record<string, Record<string, string>>;

export type Property = keyof typeof FACTORS;
type UnitOf<P extends Property> = Extract<keyof (typeof FACTORS)[P], string>;

/** The unit in which each property is computed. */
export const BASE_UNITS = {
  volume: 'L',
  mass: 'kg',
  temperature: 'Cel',
  pressure: 'kPa',
  fraction: '%',
  density: 'kg/m3',
  time: 'min',
} as const satisfies { [P in Property]: UnitOf<P> };

/** Unit codes that a property accepts, in the order in which a refusal lists them. */
export function unitsOf(property: Property): readonly string[] {
  return Object.keys(FACTORS[property]);
}

/** The property that a unit code measures; undefined for one that is not in the list. */
export const propertyOf = (unit: string): Property | undefined => propertyByUnit.get(unit);

const propertyByUnit = new Map(
  (Object.keys(FACTORS) as Property[]).flatMap((property) =>
    Object.keys(FACTORS[property]).map((unit) => [unit, property] as const),
  ),
);

const factorsByProperty = new Map<Property, Map<string, { exact: Decimal; double: number }>>();
for (const property of Object.keys(BASE_UNITS) as Property[]) {
  const factors = Object.entries(FACTORS[property]).map(
    ([unit, text]) => [unit, { exact: new Exact(text), double: Number(text) }] as const,
  );
  factorsByProperty.set(property, new Map(factors));
}

function factorOf(property: Property, unit: string, pointer: string): { exact: Decimal; double: number } {
  const factor = factorsByProperty.get(property)?.get(unit);
  if (factor === undefined) {
    const allowed = unitsOf(property);
    const question = unitQuestion(unit, allowed)?.question;
    const detail = `${pointer} takes a ${property} in ${allowed.join(', ')}.`;
    throw new MetrologyError('unknown-unit', question === undefined ? detail : `${question} ${detail}`, {
      pointer: `${pointer}/unit`,
      allowed,
    });
  }
  return factor;
}

/** A value in the base unit of its property, given in one of its units: the inverse of `toBase`, in double precision. */
export function fromBase(property: Property, value: number, unit: string): number {
  const { double } = factorOf(property, unit, property);
  return unit === '[degF]' ? (value * 9) / 5 + 32 : value / double;
}

/**
 * Value of a quantity in the base unit of its property, in double precision (error 1e-15 relative).
 *
 * @param pointer name of the input, for the refusal. Physical ranges are checked where the value is used.
 * @throws MetrologyError `unknown-unit` naming the list, `not-finite`
 */
export function toBase(property: Property, quantity: Quantity, pointer: string = property): number {
  const factor = factorOf(property, quantity.unit, pointer);
  requireFinite(`${pointer}/value`, quantity.value, quantity.unit);
  if (quantity.unit === '[degF]') return ((quantity.value - 32) * 5) / 9;
  return requireFinite(`${pointer}/value`, quantity.value * factor.double, quantity.unit);
}

/** A volume in the form of the books. `rounded` is true where the conversion dropped digits. */
interface BookLitres {
  readonly litres: Decimal;
  readonly rounded: boolean;
}

/**
 * Exact conversion of a volume to litres of the books: the decimal that the number stands for, times the exact factor, half-even to 6
 * places.
 *
 * @param quantity under 10⁹ L in size; a double or a decimal with a unit of volume.
 * @throws MetrologyError `unknown-unit`, `not-finite`, `out-of-range`
 */
export function toBookLitres(
  quantity: { readonly value: number | Decimal; readonly unit: string },
  pointer = 'volume',
): BookLitres {
  const { exact } = factorOf('volume', quantity.unit, pointer);
  const product = decimalOf(quantity.value, `${pointer}/value`).times(exact);
  const litres = toPlaces6HalfEven(product);
  if (litres.abs().greaterThanOrEqualTo(BOOK_LIMIT)) {
    throw new MetrologyError('out-of-range', `${pointer} must stay under ${BOOK_LIMIT} L.`, {
      pointer: `${pointer}/value`,
      range: [-BOOK_LIMIT, BOOK_LIMIT],
      unit: 'L',
    });
  }
  return { litres, rounded: !litres.equals(product) };
}
