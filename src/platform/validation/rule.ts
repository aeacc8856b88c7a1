import type { ApiPropertyOptions } from '@nestjs/swagger';
import { likelyName } from '../names/misspelling.js';
import type { ProblemCode } from '../problems/problem-codes.js';

/** A fault of a value, with the path to its place inside the value. */
export interface Finding {
  readonly path: readonly (string | number)[];
  readonly rule: string;
  readonly detail: string;
  /** `validation-failed` unless said otherwise. */
  readonly code?: ProblemCode;
  readonly range?: readonly [number | null, number | null];
  readonly unit?: string;
  readonly allowed?: readonly string[];
  readonly suggestion?: string;
}

/** JSON Schema as the OpenAPI document takes it. */
export type Schema = Readonly<Record<string, unknown>>;

/** One rule for one value: the check, and the schema that shows it in the API reference. */
export interface Rule {
  readonly schema: Schema;
  readonly check: (value: unknown) => readonly Finding[];
}

export const finding = (
  rule: string,
  detail: string,
  more: Omit<Partial<Finding>, 'rule' | 'detail'> = {},
): Finding => ({
  path: [],
  rule,
  detail,
  ...more,
});

/** The finding for a value that is absent, null or of another type. */
export function wrongType(value: unknown, expected: string): Finding {
  if (value === undefined) {
    return finding('required', `This is needed: ${expected}.`);
  }
  if (value === null) {
    return finding('not-null', `null is not taken here; leave it out, or give ${expected}.`);
  }
  const hint = typeof value === 'string' && expected.startsWith('a number') ? ', without quotation marks' : '';
  return finding('type', `This has to be ${expected}${hint}.`);
}

export const isPlainObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

export const within = (segment: string | number, findings: readonly Finding[]): Finding[] =>
  findings.map((inner) => ({ ...inner, path: [segment, ...inner.path] }));

/** An object with exactly these properties, and perhaps the optional ones. */
export function objectRule(
  required: Readonly<Record<string, Rule>>,
  optional: Readonly<Record<string, Rule>> = {},
): Rule {
  const all = new Map([...Object.entries(required), ...Object.entries(optional)]);
  const names = [...all.keys()];
  return {
    schema: {
      type: 'object',
      additionalProperties: false,
      required: Object.keys(required),
      properties: Object.fromEntries([...all].map(([name, rule]) => [name, rule.schema])),
    },
    check: (value) => {
      if (!isPlainObject(value)) {
        return [wrongType(value, `an object with ${Object.keys(required).join(', ')}`)];
      }
      const unknown = Object.keys(value).filter((name) => !all.has(name));
      const findings = unknown.map((name) => unknownProperty(name, names));
      for (const [name, rule] of all) {
        if (value[name] !== undefined || Object.hasOwn(required, name)) {
          findings.push(...within(name, rule.check(value[name])));
        }
      }
      return findings;
    },
  };
}

/** A list of values that each obey one rule. */
export function listRule(item: Rule, limits: { min?: number; max: number; unique?: boolean }): Rule {
  const { min = 0, max, unique = false } = limits;
  return {
    schema: {
      type: 'array',
      items: item.schema,
      minItems: min,
      maxItems: max,
      ...(unique ? { uniqueItems: true } : {}),
    },
    check: (value) => {
      const length = lengthFindings(value, min, max);
      if (length.length > 0 || !Array.isArray(value)) {
        return length;
      }
      const findings = value.flatMap((entry, index) => within(index, item.check(entry)));
      if (unique && new Set(value).size < value.length) {
        findings.push(finding('not-unique', 'An element stands in the list twice.'));
      }
      return findings;
    },
  };
}

/** Wrong type or wrong number of elements of a list. */
export function lengthFindings(value: unknown, min: number, max: number): Finding[] {
  if (!Array.isArray(value)) {
    return [wrongType(value, 'a list')];
  }
  if (value.length < min || value.length > max) {
    const rule = value.length < min ? 'too-few' : 'too-many';
    return [finding(rule, `From ${min} to ${max} elements are taken.`, { code: 'not-computable', range: [min, max] })];
  }
  return [];
}

/** The question whether a known name is meant, to follow a sentence. */
export const didYouMean = (meant: string | undefined): string =>
  meant === undefined ? '' : ` Did you mean ${JSON.stringify(meant)}?`;

/** The finding for a property that is not known; a long name is cut. */
export function unknownProperty(name: string, allowed?: readonly string[]): Finding {
  const shown = JSON.stringify(name.slice(0, 60));
  const meant = likelyName(name, allowed ?? []);
  return finding('unknown-property', `There is no property ${shown} here.${didYouMean(meant)}`, {
    path: [name.slice(0, 60)],
    ...(allowed === undefined ? {} : { allowed }),
    ...(meant === undefined ? {} : { suggestion: meant }),
  });
}

export const asApiProperty = (schema: Schema): ApiPropertyOptions => {
  const { required, ...rest } = schema;
  const options = Array.isArray(required) ? { ...rest, required, selfRequired: true } : rest;
  return options as ApiPropertyOptions;
};
