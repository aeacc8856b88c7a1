import type { Decimal } from '../../metrology/decimals.js';
import { Exact } from '../../metrology/decimals.js';

/** The document of an operation as it was read back. */
type Document = Readonly<Record<string, unknown>>;

function factIn<T>(
  document: Document,
  name: string,
  kind: string,
  fits: (value: unknown) => value is T,
): T | undefined {
  const value = document[name];
  if (value === undefined || value === null) {
    return undefined;
  }
  if (!fits(value)) {
    throw new Error(`operation.document/${name} does not hold ${kind}.`);
  }
  return value;
}

const isText = (value: unknown): value is string => typeof value === 'string';
const isTexts = (value: unknown): value is readonly string[] => Array.isArray(value) && value.every(isText);
const isObject = (value: unknown): value is Document =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** A text; undefined where there is none. @throws Error naming the fact where it is something else */
export const textIn = (document: Document, name: string): string | undefined =>
  factIn(document, name, 'a text', isText);

/** A list of texts; undefined where there is none. @throws Error naming the fact where it is something else */
export const textsIn = (document: Document, name: string): readonly string[] | undefined =>
  factIn(document, name, 'a list of texts', isTexts);

/** An object; undefined where there is none. @throws Error naming the fact where it is something else */
export const objectIn = (document: Document, name: string): Document | undefined =>
  factIn(document, name, 'an object', isObject);

/** A decimal, kept as text or, where it is a count, as a number. @throws Error naming the fact where it is missing or something else */
export function decimalIn(document: Document, name: string): Decimal {
  const value = document[name];
  const text = typeof value === 'number' ? String(value) : value;
  if (typeof text !== 'string' || !/^-?\d+(\.\d+)?$/.test(text)) {
    throw new Error(`operation.document/${name} does not hold a decimal.`);
  }
  return new Exact(text);
}
