import type { Property, Quantity } from '../../metrology/units.js';
import { toBase, unitsOf } from '../../metrology/units.js';
import type { FieldOptions } from '../../platform/validation/field.js';
import { Field } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsQuantityOf } from '../../platform/validation/fields.js';
import { numberRule } from '../../platform/validation/number-rules.js';
import type { Rule } from '../../platform/validation/rule.js';
import { objectRule } from '../../platform/validation/rule.js';
import { quantityRule } from '../../platform/validation/quantity-rules.js';
import { oneOfRule } from '../../platform/validation/text-rules.js';

/** A quantity as read, with its standard uncertainty in the same unit where it is known. */
export interface MeasuredQuantity extends Quantity {
  readonly standardUncertainty?: number;
}

const fractionLimits = { min: 0, max: 100 };

/** Property for a strength or another fraction, 0 to 100 %. */
export const IsPercent = (options: FieldOptions): PropertyDecorator =>
  IsQuantityOf('fraction', fractionLimits, options);

/** Real extract in °P, a number without a unit. */
export const IsExtract = (options: FieldOptions = {}): PropertyDecorator =>
  IsDecimalNumber({}, { description: 'Real extract, °P (% by mass on the sucrose scale).', example: 3.1, ...options });

function measuredRule(property: Property): Rule {
  const plain = quantityRule(property);
  const shape = objectRule(
    { value: numberRule(), unit: oneOfRule(unitsOf(property)) },
    { standardUncertainty: numberRule({ min: 0, max: 1000 }) },
  );
  return {
    schema: shape.schema,
    check: (value) => {
      const findings = shape.check(value);
      const unit = findings.filter(({ path }) => path[0] === 'unit');
      return unit.length > 0 ? plain.check(value).filter(({ path }) => path[0] === 'unit') : findings;
    },
  };
}

/** A quantity with an optional `standardUncertainty` in its own unit. */
export const IsMeasured = (property: Property, options: FieldOptions): PropertyDecorator =>
  Field(measuredRule(property), options);

/** A mass concentration in g/L, which is no property of the unit list. */
export const IsGramsPerLitre = (max: number, options: FieldOptions): PropertyDecorator =>
  Field(objectRule({ value: numberRule({ min: 0, max, unit: 'g/L' }), unit: oneOfRule(['g/L']) }), options);

/** The value in the base unit of its property; absent stays absent. */
export function baseOf(property: Property, quantity: Quantity): number;
export function baseOf(property: Property, quantity: Quantity | undefined): number | undefined;
export function baseOf(property: Property, quantity: Quantity | undefined): number | undefined {
  return quantity === undefined ? undefined : toBase(property, quantity);
}

/** A difference in the base unit: without the offset that a temperature scale has. */
export const baseDifferenceOf = (property: Property, difference: number, unit: string): number =>
  toBase(property, { value: difference, unit }) - toBase(property, { value: 0, unit });
