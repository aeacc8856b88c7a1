import type { Finding, Rule } from './rule.js';
import { finding, wrongType } from './rule.js';

export interface NumberLimits {
  readonly min?: number;
  readonly max?: number;
  /** Refuses the lower limit itself: a quantity above zero. */
  readonly aboveMin?: boolean;
  readonly maxDecimals?: number;
  readonly unit?: string;
}

/** Decimal places of a number as it was written; exact, since the body scan refuses a number that a double does not hold as given. */
export function decimalPlaces(value: number): number {
  const [mantissa, exponent = '0'] = String(Math.abs(value)).split('e');
  const fraction = mantissa.split('.')[1] ?? '';
  return Math.max(0, fraction.length - Number(exponent));
}

/** Refuses a value outside its limits, with the limits as data. */
export function rangeFindings(value: number, limits: NumberLimits): Finding[] {
  const { min = -Infinity, max = Infinity, aboveMin = false, unit } = limits;
  if (value <= max && value >= min && !(aboveMin && value === min)) {
    return [];
  }
  return [
    finding('out-of-range', `The value has to lie ${rangeText(limits)}.`, {
      code: 'out-of-range',
      range: [finiteOrNull(min), finiteOrNull(max)],
      ...(unit === undefined ? {} : { unit }),
    }),
  ];
}

const finiteOrNull = (limit: number): number | null => (Number.isFinite(limit) ? limit : null);

/** The limits in words: "from 0 to 100 %", "above 0 L up to 5 L". */
function rangeText({ min = -Infinity, max = Infinity, aboveMin = false, unit = '' }: NumberLimits): string {
  const suffix = unit === '' ? '' : ` ${unit}`;
  const lower = Number.isFinite(min) ? `${aboveMin ? 'above' : 'from'} ${min}${suffix}` : '';
  const upper = Number.isFinite(max) ? `${aboveMin ? 'up to' : 'to'} ${max}${suffix}` : '';
  return [lower, upper].filter(Boolean).join(' ');
}

export function decimalsFindings(value: number, maxDecimals: number | undefined): Finding[] {
  if (maxDecimals !== undefined && decimalPlaces(value) > maxDecimals) {
    return [
      finding('too-many-decimals', `At most ${maxDecimals} decimal places are kept; nothing is rounded in silence.`),
    ];
  }
  return [];
}

const limitsSchema = ({ min, max, aboveMin = false }: NumberLimits): Record<string, unknown> => ({
  ...(min === undefined ? {} : aboveMin ? { exclusiveMinimum: min } : { minimum: min }),
  ...(max === undefined ? {} : { maximum: max }),
});

/** A finite JSON number within limits, with no more decimals than are kept. */
export function numberRule(limits: NumberLimits = {}): Rule {
  return {
    schema: { type: 'number', format: 'double', ...limitsSchema(limits) },
    check: (value) => {
      if (typeof value !== 'number' || !Number.isFinite(value)) {
        return [wrongType(value, 'a number')];
      }
      return [...decimalsFindings(value, limits.maxDecimals), ...rangeFindings(value, limits)];
    },
  };
}

/** A whole number within limits. */
export function integerRule(limits: { readonly min: number; readonly max: number }): Rule {
  return {
    schema: {
      type: 'integer',
      format: limits.max > 2_147_483_647 ? 'int64' : 'int32',
      minimum: limits.min,
      maximum: limits.max,
    },
    check: (value) => {
      if (typeof value !== 'number' || !Number.isFinite(value)) {
        return [wrongType(value, 'a number')];
      }
      if (!Number.isSafeInteger(value)) {
        return [
          finding('not-whole', 'This has to be a whole number.', {
            code: 'out-of-range',
            range: [limits.min, limits.max],
          }),
        ];
      }
      return rangeFindings(value, limits);
    },
  };
}

export const booleanRule: Rule = {
  schema: { type: 'boolean' },
  check: (value) => (typeof value === 'boolean' ? [] : [wrongType(value, 'true or false')]),
};
