import type { Rule } from './rule.js';
import { likelyName } from '../names/misspelling.js';
import { didYouMean, finding, wrongType } from './rule.js';

export interface TextLimits {
  readonly min?: number;
  readonly max: number;
  /** Lets line breaks and tabs through. */
  readonly multiline?: boolean;
}

/** Control characters, halves of surrogate pairs, line and paragraph separators, and the marks that change the direction of a text. */
const HIDDEN = /[\p{Cc}\p{Cs}\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/u;
const HIDDEN_BUT_BREAKS = /(?![\n\r\t])[\p{Cc}\p{Cs}\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/u;

const VISIBLE_PATTERN = String.raw`^[^\u0000-\u001F\u007F-\u009F]*$`;
const MULTILINE_PATTERN = String.raw`^[^\u0000-\u0008\u000B\u000C\u000E-\u001F\u007F-\u009F]*$`;

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

/** The text as it is stored: without blanks at its ends and in Unicode form NFC, so that texts that look alike are equal. */
export const tidyText = (text: string): string => text.normalize('NFC').trim();

/** A text written by a person: in Unicode form NFC, trimmed, without hidden characters. */
export function textRule({ min = 1, max, multiline = false }: TextLimits): Rule {
  return {
    schema: {
      type: 'string',
      minLength: min,
      maxLength: max,
      pattern: multiline ? MULTILINE_PATTERN : VISIBLE_PATTERN,
    },
    check: (value) => {
      if (typeof value !== 'string') {
        return [wrongType(value, 'a text')];
      }
      if ((multiline ? HIDDEN_BUT_BREAKS : HIDDEN).test(value)) {
        return [finding('hidden-character', 'The text holds a control character or another hidden one.')];
      }
      const length = [...tidyText(value)].length;
      if (length < min || length > max) {
        return [finding('length', `The text has to have from ${min} to ${max} characters.`, { range: [min, max] })];
      }
      return [];
    },
  };
}

/** A text of a fixed form, such as a code. */
export function patternRule(
  pattern: RegExp,
  what: string,
  limits: { readonly min?: number; readonly max: number },
): Rule {
  const { min = 1, max } = limits;
  return {
    schema: { type: 'string', minLength: min, maxLength: max, pattern: pattern.source },
    check: (value) => {
      if (typeof value !== 'string') {
        return [wrongType(value, what)];
      }
      const fits = value.length >= min && value.length <= max && pattern.test(value);
      return fits ? [] : [finding('pattern', `This has to be ${what}.`)];
    },
  };
}

/** An identifier that the service gave out. */
export const idRule: Rule = {
  schema: { type: 'string', format: 'uuid', minLength: 36, maxLength: 36 },
  check: (value) => {
    if (typeof value !== 'string') {
      return [wrongType(value, 'an id (UUID)')];
    }
    return UUID.test(value.toLowerCase())
      ? []
      : [finding('id', 'This has to be an id (UUID) that the service gave out.')];
  },
};

/** One value of a closed list. */
export function oneOfRule(allowed: readonly string[]): Rule {
  const known = new Set(allowed);
  return {
    schema: { type: 'string', enum: [...allowed] },
    check: (value) => {
      if (typeof value !== 'string') {
        return [wrongType(value, `one of ${allowed.join(', ')}`)];
      }
      if (known.has(value)) {
        return [];
      }
      const meant = likelyName(value, allowed);
      const detail = `This has to be one of ${allowed.join(', ')}.${didYouMean(meant)}`;
      return [finding('one-of', detail, { allowed, ...(meant === undefined ? {} : { suggestion: meant }) })];
    },
  };
}
