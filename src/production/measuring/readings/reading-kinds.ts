import type { Gravity } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { Quantity } from '../../../metrology/units.js';
import { unitsOf } from '../../../metrology/units.js';
import { numberRule } from '../../../platform/validation/number-rules.js';
import { quantityRule } from '../../../platform/validation/quantity-rules.js';
import type { Finding, Rule } from '../../../platform/validation/rule.js';
import { finding, objectRule, within } from '../../../platform/validation/rule.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { exactGravityRule } from '../../shared/exact-gravity.js';
import { massConcentrationRule } from '../../shared/mass-concentration.js';

export const READING_KINDS = [
  'gravity',
  'temperature',
  'volume',
  'ph',
  'dissolved-co2',
  'gauge-pressure',
  'strength',
  'density',
  'text',
] as const;
export type ReadingKind = (typeof READING_KINDS)[number];

/** The property of the body that carries the value. */
type Carrier = 'gravity' | 'quantity' | 'value' | 'text';
const CARRIERS: readonly Carrier[] = ['gravity', 'quantity', 'value', 'text'];

/** Value of a reading, in one of four forms. */
export interface Measured {
  readonly gravity?: Gravity;
  readonly quantity?: Quantity;
  readonly value?: number;
  readonly text?: string;
}

const DECIMALS = { maxDecimals: 6 };

/** Sample temperatures keep four decimals of a degree Celsius. */
export const TEMPERATURE = { min: -20, max: 110, maxDecimals: 4 };
export const LONGEST_TEXT = 2000;

const quantityUnits = [
  ...(['temperature', 'volume', 'pressure', 'fraction', 'density'] as const).flatMap((each) => unitsOf(each)),
  'g/L',
];

/** The shape alone; the kind of the reading says which units and which range. */
export const anyQuantity: Rule = objectRule({
  value: numberRule(),
  unit: {
    schema: { type: 'string', enum: quantityUnits },
    check: (unit) => (typeof unit === 'string' ? [] : [finding('type', 'The unit has to be a UCUM code.')]),
  },
});

const FORM_OF: Readonly<Record<ReadingKind, { readonly carrier: Carrier; readonly rule: Rule }>> = {
  gravity: { carrier: 'gravity', rule: exactGravityRule },
  temperature: { carrier: 'quantity', rule: quantityRule('temperature', { ...TEMPERATURE, ...DECIMALS }) },
  volume: {
    carrier: 'quantity',
    rule: quantityRule('volume', { min: 0, aboveMin: true, max: 1_000_000, ...DECIMALS }),
  },
  ph: { carrier: 'value', rule: numberRule({ min: 0, max: 14, ...DECIMALS }) },
  'dissolved-co2': { carrier: 'quantity', rule: massConcentrationRule(20) },
  'gauge-pressure': { carrier: 'quantity', rule: quantityRule('pressure', { min: -100, max: 1000, ...DECIMALS }) },
  strength: { carrier: 'quantity', rule: quantityRule('fraction', { min: 0, max: 100, ...DECIMALS }) },
  density: { carrier: 'quantity', rule: quantityRule('density', { min: 750, max: 1300, ...DECIMALS }) },
  text: { carrier: 'text', rule: textRule({ max: LONGEST_TEXT, multiline: true }) },
};

/** Kinds that take something out of the vessel. */
export const HAS_SAMPLE: ReadonlySet<ReadingKind> = new Set(
  READING_KINDS.filter((kind) => kind !== 'temperature' && kind !== 'text'),
);

/** Properties that do not belong to the kind of reading, and faults of its value. */
export function readingFindings(
  body: Measured & { readonly kind: ReadingKind; readonly sampleTemperature?: unknown },
): Finding[] {
  const { carrier, rule } = FORM_OF[body.kind];
  const foreign = CARRIERS.filter((each) => each !== carrier && body[each] !== undefined).map((each) =>
    finding('not-of-kind', `A reading of the kind ${body.kind} is given as ${carrier}.`, {
      path: [each],
      allowed: [carrier],
    }),
  );
  const sample =
    body.sampleTemperature !== undefined && !HAS_SAMPLE.has(body.kind)
      ? [finding('not-of-kind', 'This kind of reading has no sample temperature.', { path: ['sampleTemperature'] })]
      : [];
  return [...within(carrier, rule.check(body[carrier])), ...foreign, ...sample];
}

/** The number and its unit or scale as they are kept; nothing for a text. */
export function valueOf(measured: Measured): { readonly value: number; readonly unit: string } | undefined {
  const { gravity, quantity, value } = measured;
  if (gravity !== undefined) {
    return { value: gravity.value, unit: gravity.scale };
  }
  if (quantity !== undefined) {
    return { value: quantity.value, unit: quantity.unit };
  }
  return value === undefined ? undefined : { value, unit: 'pH' };
}

/** The inverse of `valueOf`: how a kept value goes over the wire. */
export function measuredOf(kind: ReadingKind, value: number, unit: string): Measured {
  switch (FORM_OF[kind].carrier) {
    case 'gravity':
      return { gravity: { value, scale: unit as Gravity['scale'] } };
    case 'quantity':
      return { quantity: { value, unit } };
    case 'value':
      return { value };
    case 'text':
      return {};
  }
}
