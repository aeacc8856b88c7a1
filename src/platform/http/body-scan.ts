import { isUtf8 } from 'node:buffer';
import type { ProblemCode } from '../problems/problem-codes.js';

/** The reason for which the scan refuses a body; `offset` is the byte at which it was seen. */
export interface ScanFinding {
  readonly code: ProblemCode;
  readonly rule: string;
  readonly detail: string;
  readonly offset: number;
}

export interface ScanLimits {
  /** Objects and arrays inside each other. */
  readonly depth: number;
  /** Property names and array elements of the whole body together. */
  readonly elements: number;
  /** Bytes of one property name, escapes included. */
  readonly keyBytes: number;
  /** Significant digits of one number. */
  readonly digits: number;
}

const SCAN_LIMITS: ScanLimits = { depth: 20, elements: 20_000, keyBytes: 128, digits: 17 };

const QUOTE = 0x22;
const BACKSLASH = 0x5c;
const COMMA = 0x2c;
const COLON = 0x3a;
const MINUS = 0x2d;
const ZERO = 0x30;
const NINE = 0x39;
const OPEN_ARRAY = 0x5b;
const CLOSE_ARRAY = 0x5d;
const OPEN_OBJECT = 0x7b;
const CLOSE_OBJECT = 0x7d;
const LOWER_U = 0x75;

/** Characters of one number at the most, zeros and exponent included. */
const LONGEST_NUMBER = 40;

/** Every number of so many significant digits comes back from a double as it was given (IEEE 754 binary64, DBL_DIG). */
const ALWAYS_HELD = 15;

const NUMBER_BYTES: ReadonlySet<number | undefined> = new Set(Buffer.from('0123456789.-+eE'));

/** Below it a double loses digits. */
const SMALLEST_NORMAL = 2.2250738585072014e-308;

const refuse = (code: ProblemCode, rule: string, detail: string, offset: number): ScanFinding => ({
  code,
  rule,
  detail,
  offset,
});

const isReservedName = (name: string): boolean => name === 'prototype' || name in Object.prototype;

/**
 * Looks once over the raw bytes of a JSON body, before it is parsed, for what parsing would hide or what would hurt afterwards:
 * depth and counts, numbers that a double cannot hold as given, NUL, lone surrogates and other broken UTF-8, duplicate and reserved
 * property names. Grammar is left to `JSON.parse`, which follows. Returns the first finding, or `undefined`.
 */
export function scanBody(bytes: Buffer, limits: ScanLimits = SCAN_LIMITS): ScanFinding | undefined {
  if (bytes.length >= 3 && bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) {
    return refuse('malformed-body', 'byte-order-mark', 'The body starts with a byte order mark.', 0);
  }
  if (!isUtf8(bytes)) {
    return refuse('malformed-body', 'not-utf-8', 'The body is not valid UTF-8.', 0);
  }
  return new Scan(bytes, limits).run();
}

class Scan {
  #at = 0;
  #elements = 0;
  /** Names seen so far, one set for each open object; `undefined` for an open array. */
  readonly #open: (Set<string> | undefined)[] = [];
  #keyExpected = false;

  constructor(
    private readonly bytes: Buffer,
    private readonly limits: ScanLimits,
  ) {}

  run(): ScanFinding | undefined {
    const { bytes } = this;
    while (this.#at < bytes.length) {
      const finding = this.#token(bytes[this.#at]);
      if (finding !== undefined) {
        return finding;
      }
    }
    return undefined;
  }

  #token(byte: number): ScanFinding | undefined {
    switch (byte) {
      case QUOTE:
        return this.#string();
      case OPEN_OBJECT:
      case OPEN_ARRAY:
        return this.#opened(byte === OPEN_OBJECT);
      case CLOSE_OBJECT:
      case CLOSE_ARRAY:
        this.#open.pop();
        this.#keyExpected = false;
        break;
      case COMMA:
        this.#keyExpected = this.#open[this.#open.length - 1] !== undefined;
        this.#at++;
        return this.#counted();
      case COLON:
        this.#keyExpected = false;
        break;
      case 0:
        return refuse('malformed-body', 'nul', 'The body holds a NUL byte.', this.#at);
      default:
        if (byte === MINUS || (byte >= ZERO && byte <= NINE)) {
          return this.#number();
        }
    }
    this.#at++;
    return undefined;
  }

  #opened(isObject: boolean): ScanFinding | undefined {
    if (this.#open.length >= this.limits.depth) {
      const detail = `Objects and arrays may stand inside each other at most ${this.limits.depth} deep.`;
      return refuse('body-too-deep', 'too-deep', detail, this.#at);
    }
    this.#open.push(isObject ? new Set() : undefined);
    this.#keyExpected = isObject;
    this.#at++;
    return this.#counted();
  }

  #counted(): ScanFinding | undefined {
    if (++this.#elements > this.limits.elements) {
      const detail = `The body holds more than ${this.limits.elements} properties and elements.`;
      return refuse('body-too-deep', 'too-many-elements', detail, this.#at);
    }
    return undefined;
  }

  #string(): ScanFinding | undefined {
    const { bytes } = this;
    const start = this.#at;
    let escaped = false;
    let at = start + 1;
    for (; at < bytes.length; at++) {
      const byte = bytes[at];
      if (byte === QUOTE) {
        break;
      }
      if (byte === 0) {
        return refuse('malformed-body', 'nul', 'The body holds a NUL byte.', at);
      }
      if (byte === BACKSLASH) {
        escaped = true;
        at++;
        if (bytes[at] === LOWER_U) {
          const unit = this.#hex4(at + 1);
          if (unit === 0) {
            return refuse('malformed-body', 'nul', 'A string holds the NUL character.', at - 1);
          }
          if (unit >= 0xd800 && unit <= 0xdfff) {
            if (!this.#isPairAt(at, unit)) {
              return refuse('malformed-body', 'lone-surrogate', 'A string holds half of a surrogate pair.', at - 1);
            }
            at += 6;
          }
          at += 4;
        }
      }
    }
    this.#at = at + 1;
    if (!this.#keyExpected) {
      return undefined;
    }
    this.#keyExpected = false;
    return this.#key(start, at, escaped);
  }

  /** True if the escape at `at` (its `u`) is a high surrogate that a low one follows. */
  #isPairAt(at: number, unit: number): boolean {
    const next = this.bytes[at + 5] === BACKSLASH && this.bytes[at + 6] === LOWER_U ? this.#hex4(at + 7) : -1;
    return unit <= 0xdbff && next >= 0xdc00 && next <= 0xdfff;
  }

  /** The code unit that four hex digits stand for; −1 if they are none, which the parser will refuse. */
  #hex4(at: number): number {
    const text = this.bytes.toString('latin1', at, at + 4);
    return /^[0-9a-fA-F]{4}$/.test(text) ? Number.parseInt(text, 16) : -1;
  }

  #key(start: number, end: number, escaped: boolean): ScanFinding | undefined {
    if (end - start - 1 > this.limits.keyBytes) {
      return refuse('malformed-body', 'name-too-long', 'A property name is too long.', start);
    }
    const names = this.#open[this.#open.length - 1];
    let name = this.bytes.toString('utf8', start + 1, end);
    if (escaped) {
      try {
        name = String(JSON.parse(`"${name}"`));
      } catch {
        return undefined;
      }
    }
    if (isReservedName(name)) {
      return refuse('malformed-body', 'reserved-name', `A property may not be named ${name}.`, start);
    }
    if (names?.has(name) === true) {
      return refuse('duplicate-key', 'duplicate-key', `The property ${JSON.stringify(name)} is given twice.`, start);
    }
    names?.add(name);
    return undefined;
  }

  #number(): ScanFinding | undefined {
    const start = this.#at;
    while (NUMBER_BYTES.has(this.bytes[this.#at])) {
      this.#at++;
    }
    if (this.#at - start > LONGEST_NUMBER) {
      return refuse('number-too-long', 'number-too-long', 'A number is written too long.', start);
    }
    const text = this.bytes.toString('latin1', start, this.#at);
    const digits = significantDigits(text);
    if (digits.length > this.limits.digits) {
      const detail = `A number has more than ${this.limits.digits} significant digits.`;
      return refuse('number-too-long', 'too-many-digits', detail, start);
    }
    return checkHeld(text, digits, start);
  }
}

/** The digits of a number from its first one that is not zero, without sign, point and exponent. */
const significantDigits = (text: string): string =>
  text
    .replace(/e.*$/i, '')
    .replaceAll(/[^0-9]/g, '')
    .replace(/^0+/, '');

/** Refuses a number that a double cannot hold as it was given: every digit, its size, and the sign of a zero. */
function checkHeld(text: string, digits: string, offset: number): ScanFinding | undefined {
  if (digits === '') {
    return text.startsWith('-')
      ? refuse('malformed-body', 'negative-zero', 'A number is minus zero.', offset)
      : undefined;
  }
  const value = Math.abs(Number(text));
  if (value === Infinity) {
    return refuse('number-too-long', 'number-too-large', 'A number is too large to be kept.', offset);
  }
  if (value < SMALLEST_NORMAL) {
    return refuse('number-too-long', 'number-too-small', 'A number is too small to be kept.', offset);
  }
  // Fifteen digits come back from a double in every case; with more, the double may stand for another number. Halfway between two texts the
  // rounded one and the shortest one, which common languages print, may differ in the last digit: both are taken.
  const given = digits.replace(/0+$/, '');
  const texts = (): string[] => [value.toExponential(given.length - 1), String(value)];
  if (given.length <= ALWAYS_HELD || texts().some((each) => given === significantDigits(each).replace(/0+$/, ''))) {
    return undefined;
  }
  const detail = `A number would be changed: it is kept as ${String(Number(text))}.`;
  return refuse('number-too-long', 'number-not-held', detail, offset);
}
