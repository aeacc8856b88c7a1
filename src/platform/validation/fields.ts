import { applyDecorators } from '@nestjs/common';
import { Transform } from 'class-transformer';
import type { Property } from '../../metrology/units.js';
import type { FieldOptions } from './field.js';
import { Field } from './field.js';
import { dateRule, instantRule } from './instant.js';
import type { NumberLimits } from './number-rules.js';
import { booleanRule, integerRule, numberRule } from './number-rules.js';
import type { GravityOptions, QuantityLimits } from './quantity-rules.js';
import { gravityRule, quantityRule } from './quantity-rules.js';
import type { Rule } from './rule.js';
import { listRule } from './rule.js';
import type { TextLimits } from './text-rules.js';
import { idRule, oneOfRule, patternRule, textRule, tidyText } from './text-rules.js';

/** A moment in time as text; `parseInstant` makes a Date of it. */
export const IsInstant = (options?: FieldOptions): PropertyDecorator => Field(instantRule, options);

export const IsDateOnly = (options?: FieldOptions): PropertyDecorator => Field(dateRule, options);

export const IsQuantityOf = (
  property: Property,
  limits?: QuantityLimits & { readonly units?: readonly string[] },
  options?: FieldOptions,
): PropertyDecorator => Field(quantityRule(property, limits, limits?.units), options);

export const IsGravity = (gravity?: GravityOptions, options?: FieldOptions): PropertyDecorator =>
  Field(gravityRule(gravity), options);

export const IsDecimalNumber = (limits?: NumberLimits, options?: FieldOptions): PropertyDecorator =>
  Field(numberRule(limits), options);

export const IsWholeNumber = (limits: { min: number; max: number }, options?: FieldOptions): PropertyDecorator =>
  Field(integerRule(limits), options);

export const IsFlag = (options?: FieldOptions): PropertyDecorator => Field(booleanRule, options);

/** A text of a person; arrives trimmed and composed. */
export const IsPlainText = (limits: TextLimits, options?: FieldOptions): PropertyDecorator =>
  applyDecorators(
    Transform(({ value }: { value: unknown }) => (typeof value === 'string' ? tidyText(value) : value)),
    Field(textRule(limits), options),
  );

export const IsPattern = (
  pattern: RegExp,
  what: string,
  limits: { readonly min?: number; readonly max: number },
  options?: FieldOptions,
): PropertyDecorator => Field(patternRule(pattern, what, limits), options);

/** An id; arrives in lower case. */
export const IsId = (options?: FieldOptions): PropertyDecorator =>
  applyDecorators(
    Transform(({ value }: { value: unknown }) => (typeof value === 'string' ? value.toLowerCase() : value)),
    Field(idRule, options),
  );

export const IsOneOf = (allowed: readonly string[], options?: FieldOptions): PropertyDecorator =>
  Field(oneOfRule(allowed), options);

export const IsListOf = (
  item: Rule,
  limits: { readonly min?: number; readonly max: number; readonly unique?: boolean },
  options?: FieldOptions,
): PropertyDecorator => Field(listRule(item, limits), options);

/** A whole number in a query, where everything arrives as text. */
export const IsQueryInteger = (limits: { min: number; max: number }, options?: FieldOptions): PropertyDecorator =>
  applyDecorators(
    Transform(({ value }: { value: unknown }) =>
      typeof value === 'string' && /^-?(0|[1-9]\d{0,14})$/.test(value) ? Number(value) : value,
    ),
    Field(integerRule(limits), options),
  );

/** `true` or `false` in a query. */
export const IsQueryFlag = (options?: FieldOptions): PropertyDecorator =>
  applyDecorators(
    Transform(({ value }: { value: unknown }) => (value === 'true' || value === 'false' ? value === 'true' : value)),
    Field(booleanRule, options),
  );
