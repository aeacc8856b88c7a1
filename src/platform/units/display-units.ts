import type { FastifyRequest } from 'fastify';
import type { Property, Quantity } from '../../metrology/units.js';
import { fromBase, propertyOf, toBase } from '../../metrology/units.js';

/** Properties that people read in more than one system of units, with the metric unit of each. */
const METRIC = { volume: 'L', mass: 'kg', temperature: 'Cel', pressure: 'bar' } as const satisfies Partial<
  Record<Property, string>
>;
export type DisplayedProperty = keyof typeof METRIC;

/** Units in which a person reads, beside those of the books. */
export type DisplayUnits = Partial<Readonly<Record<DisplayedProperty, string>>>;

/** A request with the display units of its producer, where it has chosen some. */
export type UnitsRequest = FastifyRequest & { displayUnits?: DisplayUnits };

/** Units beside the metric ones: what is given in one of them is answered in it too. */
export const CUSTOMARY_UNITS = {
  volume: ['[gal_us]', '[foz_us]', '[pt_us]', '[gal_br]', '[pt_br]'],
  mass: ['[lb_av]', '[oz_av]'],
  temperature: ['[degF]'],
  pressure: ['[psi]'],
} as const satisfies Record<DisplayedProperty, readonly string[]>;

const customary: ReadonlySet<string> = new Set(Object.values(CUSTOMARY_UNITS).flat());

export const hasDisplayUnit = (property: Property): property is DisplayedProperty => property in METRIC;

/** The schema of `alsoIn`, beside every quantity of an answer. */
export const ALSO_IN_SCHEMA = {
  $ref: '#/components/schemas/SameQuantity',
  readOnly: true,
} as const;

export const SAME_QUANTITY_SCHEMA = {
  type: 'object',
  description:
    "The same quantity in the unit of the request or in the producer's display unit; where it stands in that unit already, in L, kg, Cel or bar. For reading only: the figure beside it counts.",
  additionalProperties: false,
  required: ['value', 'unit'],
  properties: {
    value: { type: 'number', format: 'double' },
    unit: { type: 'string', enum: [...customary, ...Object.values(METRIC)] },
  },
} as const;

/** Digits of a converted value: more than any reading has. */
const DIGITS = 7;

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

const isQuantity = (value: Record<string, unknown>): value is Record<string, unknown> & Quantity =>
  typeof value['value'] === 'number' && typeof value['unit'] === 'string';

/** The customary units that a request uses, the first of each property. */
export function unitsUsed(body: unknown, into: Record<string, string> = {}): DisplayUnits {
  if (!isObject(body)) {
    return into;
  }
  const unit = body['unit'];
  if (typeof unit === 'string' && customary.has(unit)) {
    into[String(propertyOf(unit))] ??= unit;
  }
  for (const part of Object.values(body)) {
    if (isObject(part)) unitsUsed(part, into);
  }
  return into;
}

/** A difference has no zero to be shifted: of a temperature only the size of the degree counts. */
const isDifference = (name: string): boolean => /uncertainty|difference|change|expanded|standard/i.test(name);

function otherUnit(quantity: Quantity, units: DisplayUnits, name: string): Quantity | undefined {
  const property = propertyOf(quantity.unit);
  if (property === undefined || !hasDisplayUnit(property)) {
    return undefined;
  }
  const wanted = units[property];
  const unit = wanted === quantity.unit ? METRIC[property] : wanted;
  if (unit === undefined || unit === quantity.unit) {
    return undefined;
  }
  const zero = isDifference(name) ? toBase(property, { value: 0, unit: quantity.unit }) : 0;
  const shift = isDifference(name) ? fromBase(property, 0, unit) : 0;
  const value = fromBase(property, toBase(property, quantity) - zero, unit) - shift;
  return { value: Number(value.toPrecision(DIGITS)), unit };
}

/** An answer with every quantity of these properties in the other unit too, as `alsoIn`; the answer itself is not changed. */
export function withOtherUnits(answer: unknown, units: DisplayUnits, name = ''): unknown {
  if (Array.isArray(answer)) {
    return answer.map((part) => withOtherUnits(part, units, name));
  }
  if (!isObject(answer) || answer instanceof Date || ArrayBuffer.isView(answer)) {
    return answer;
  }
  const parts = Object.entries(answer).map(([key, part]) => [key, withOtherUnits(part, units, key)] as const);
  const other = isQuantity(answer) ? otherUnit(answer, units, name) : undefined;
  return { ...Object.fromEntries(parts), ...(other === undefined ? {} : { alsoIn: other }) };
}
