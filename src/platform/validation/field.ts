import { applyDecorators } from '@nestjs/common';
import type { ApiPropertyOptions } from '@nestjs/swagger';
import { ApiProperty } from '@nestjs/swagger';
import type { Type as ClassOf } from '@nestjs/common';
import { Type } from 'class-transformer';
import type { ValidationArguments } from 'class-validator';
import { ValidateIf, ValidateNested, registerDecorator } from 'class-validator';
import type { Finding, Rule } from './rule.js';
import { asApiProperty, isPlainObject, lengthFindings, within, wrongType } from './rule.js';

export interface FieldOptions {
  readonly description?: string;
  readonly example?: unknown;
}

/** Encodes findings as a message of class-validator: JSON without a `$`, since it replaces `$value` and the like. */
const encodeFindings = (findings: readonly Finding[]): string =>
  JSON.stringify(findings).replaceAll('$', String.raw`\u0024`);

/** The findings that a message carries; `undefined` for a message of another library. */
export function decodeFindings(message: string): Finding[] | undefined {
  try {
    const decoded: unknown = JSON.parse(message);
    return Array.isArray(decoded) ? (decoded as Finding[]) : undefined;
  } catch {
    return undefined;
  }
}

function checkedBy(name: string, check: Rule['check']): PropertyDecorator {
  return (target, propertyKey) => {
    registerDecorator({
      name,
      target: target.constructor,
      propertyName: String(propertyKey),
      validator: {
        validate: (value: unknown) => check(value).length === 0,
        defaultMessage: (args?: ValidationArguments) => encodeFindings(check(args?.value)),
      },
    });
  };
}

/** Metadata key under which the OpenAPI decorators of the library describe a property. */
const PROPERTY_METADATA = 'swagger/apiModelProperties';

interface PropertyMetadata {
  /** True if the property is required; for a property that is an object, the names that the object requires. */
  readonly required?: boolean | readonly string[];
  readonly selfRequired?: boolean;
}

const metadataOf = (target: object, key: string | symbol): PropertyMetadata | undefined =>
  Reflect.getMetadata(PROPERTY_METADATA, target, key) as PropertyMetadata | undefined;

/** Makes a property of a DTO obey a rule, and shows the rule in the OpenAPI document. */
export function Field(rule: Rule, options: FieldOptions = {}): PropertyDecorator {
  return applyDecorators(checkedBy('field', rule.check), ApiProperty({ ...asApiProperty(rule.schema), ...options }));
}

/** The property may be absent; null is not absence. Stands above the rule of the property. */
export function Optional(): PropertyDecorator {
  return (target, key) => {
    ValidateIf((_object: object, value: unknown) => value !== undefined)(target, String(key));
    const isObject = Array.isArray(metadataOf(target, key)?.required);
    const absent = isObject ? { selfRequired: false } : { required: false };
    ApiProperty(absent as ApiPropertyOptions)(target, key);
  };
}

/** A property that holds another DTO: an object, never a list or a bare value. */
export function Nested(classOf: () => ClassOf<object>, options: FieldOptions = {}): PropertyDecorator {
  return applyDecorators(
    checkedBy('nested', (value) => (isPlainObject(value) ? [] : [wrongType(value, 'an object')])),
    ValidateNested({ message: encodeFindings([]) }),
    Type(classOf),
    ApiProperty({ type: () => classOf(), ...options }),
  );
}

/** A property that holds a list of DTOs. */
export function NestedList(
  classOf: () => ClassOf<object>,
  limits: { readonly min?: number; readonly max: number },
  options: FieldOptions = {},
): PropertyDecorator {
  const { min = 0, max } = limits;
  const check = (value: unknown): Finding[] => {
    const length = lengthFindings(value, min, max);
    if (length.length > 0 || !Array.isArray(value)) {
      return length;
    }
    return value.flatMap((item, index) => (isPlainObject(item) ? [] : within(index, [wrongType(item, 'an object')])));
  };
  return applyDecorators(
    checkedBy('nestedList', check),
    ValidateNested({ message: encodeFindings([]) }),
    Type(classOf),
    ApiProperty({ type: () => classOf(), isArray: true, minItems: min, maxItems: max, ...options }),
  );
}
