import type { Gravity } from '../../alcoholometry/liquids/gravity-scales.js';
import { GRAVITY_SCALES, densityMark } from '../../alcoholometry/liquids/gravity-scales.js';
import { MetrologyError } from '../../metrology/problem.js';
import type { Property } from '../../metrology/units.js';
import { BASE_UNITS, toBase, unitsOf } from '../../metrology/units.js';
import { unitQuestion } from '../../metrology/unit-questions.js';
import { ALSO_IN_SCHEMA, hasDisplayUnit } from '../units/display-units.js';
import { fieldErrorOf } from '../problems/to-problem.js';
import type { NumberLimits } from './number-rules.js';
import { decimalsFindings, numberRule, rangeFindings } from './number-rules.js';
import type { Finding, Rule, Schema } from './rule.js';
import { finding, listRule, objectRule, within } from './rule.js';
import { oneOfRule } from './text-rules.js';

/** Limits of a quantity in the base unit of its property (L, kg, Cel, kPa, %, kg/m3); decimals are those of the value as given. */
export type QuantityLimits = Omit<NumberLimits, 'unit'>;

/** `{ "value": 12.5, "unit": "L" }` with one of the units of the property, or of a shorter list. */
export function quantityRule(
  property: Property,
  limits: QuantityLimits = {},
  units: readonly string[] = unitsOf(property),
): Rule {
  const shape = objectRule({ value: numberRule(), unit: unitRule(units) });
  return {
    schema: answeredSchema(shape.schema, property),
    check: (value) => {
      const findings = shape.check(value);
      return findings.length > 0 ? findings : within('value', valueFindings(property, value as Quantity, limits));
    },
  };
}

/** One of the UCUM codes; another spelling is refused with the question which code is meant. */
function unitRule(units: readonly string[]): Rule {
  const known = new Set(units);
  return {
    schema: { type: 'string', enum: [...units] },
    check: (unit) => {
      if (typeof unit === 'string' && known.has(unit)) {
        return [];
      }
      const { question, suggestion } = unitQuestion(unit, units) ?? {};
      const detail = `${question === undefined ? '' : `${question} `}The unit has to be one of ${units.join(', ')}.`;
      const meant = suggestion === undefined ? {} : { suggestion };
      return [finding('unknown-unit', detail, { code: 'unit-unknown', allowed: units, ...meant })];
    },
  };
}

/** The schema with `alsoIn`, which an answer may have beside the value and no request takes. */
function answeredSchema(schema: Schema, property: Property): Schema {
  const properties = schema['properties'] as Schema;
  return hasDisplayUnit(property) ? { ...schema, properties: { ...properties, alsoIn: ALSO_IN_SCHEMA } } : schema;
}

/** Many quantities in one unit: `{ "values": [331.2, 329.8], "unit": "mL" }`; a wrong unit is refused as in a single one. */
export function quantityListRule(property: Property, count: { min: number; max: number }): Rule {
  const shape = objectRule({ values: listRule(numberRule(), count), unit: oneOfRule(unitsOf(property)) });
  const single = quantityRule(property);
  return {
    schema: shape.schema,
    check: (value) => {
      const findings = shape.check(value);
      if (!findings.some(({ path }) => path[0] === 'unit')) return findings;
      return single.check({ value: 1, unit: (value as { readonly unit?: unknown }).unit });
    },
  };
}

interface Quantity {
  readonly value: number;
  readonly unit: string;
}

function valueFindings(property: Property, quantity: Quantity, limits: QuantityLimits): Finding[] {
  return [
    ...decimalsFindings(quantity.value, limits.maxDecimals),
    ...rangeFindings(toBase(property, quantity), { ...limits, unit: BASE_UNITS[property] }),
  ];
}

export interface GravityOptions {
  /** Lets the temperature of the sample and the standard uncertainty of the reading stand beside it. */
  readonly withSample?: boolean;
  readonly temperature?: QuantityLimits;
}

/** `{ "value": 1.0320, "scale": "sg-20-20" }`; a value off the scale is refused, with what was probably meant. */
export function gravityRule({ withSample = false, temperature = {} }: GravityOptions = {}): Rule {
  const oneOfScales = oneOfRule(GRAVITY_SCALES);
  const scaleRule: Rule = {
    schema: oneOfScales.schema,
    check: (scale) =>
      oneOfScales
        .check(scale)
        .map((inner) => ({ ...inner, rule: 'unknown-scale', code: 'scale-unknown', allowed: GRAVITY_SCALES })),
  };
  const optional: Record<string, Rule> = withSample
    ? {
        sampleTemperature: quantityRule('temperature', temperature),
        standardUncertainty: numberRule({ min: 0, max: 1000 }),
      }
    : {};
  const shape = objectRule({ value: numberRule(), scale: scaleRule }, optional);
  return {
    schema: shape.schema,
    check: (value) => {
      const findings = shape.check(value);
      return findings.length > 0 ? findings : markFindings(value as Gravity);
    },
  };
}

function markFindings(gravity: Gravity): Finding[] {
  try {
    densityMark(gravity);
    return [];
  } catch (error) {
    if (!(error instanceof MetrologyError)) {
      throw error;
    }
    const { range, unit, detail, rule, suggestion } = fieldErrorOf(error);
    const known = { ...(range === undefined ? {} : { range }), ...(unit === undefined ? {} : { unit }) };
    const meant = suggestion === undefined ? {} : { suggestion: String(suggestion) };
    return [finding(rule, detail, { path: ['value'], code: 'out-of-range', ...known, ...meant })];
  }
}
