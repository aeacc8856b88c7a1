import { MetrologyError } from '../../metrology/problem.js';
import type { FieldError } from '../../platform/problems/problem.exception.js';
import { ProblemException, pointerTo } from '../../platform/problems/problem.exception.js';
import { codeOfRule, fieldErrorOf } from '../../platform/problems/to-problem.js';

const memberOf = (value: unknown, name: string): unknown =>
  typeof value === 'object' && value !== null && Object.hasOwn(value, name)
    ? (value as Record<string, unknown>)[name]
    : undefined;

/**
 * JSON pointer, in the body, to the input that a pure function names by a path. For a quantity it points to its number. Where the path
 * goes deeper than the body, it points to the part that exists; a missing input is pointed to at the place where it belongs.
 */
function pointerInto(body: object, name: string): string {
  const path = name.split(/[./]/).filter((segment) => segment !== '');
  const found: string[] = [];
  let here: unknown = body;
  for (const segment of path) {
    const next = memberOf(here, segment);
    if (next === undefined) break;
    found.push(segment);
    here = next;
  }
  if (found.length === 0) {
    return pointerTo(...path);
  }
  return pointerTo(...found, ...(memberOf(here, 'value') === undefined ? [] : ['value']));
}

interface RefusalOptions {
  /** Name in the request for a name of the pure function. */
  readonly rename?: (name: string) => string;
  /** Adds details of the error to the refusal. */
  readonly enrich?: (error: MetrologyError, field: FieldError) => FieldError;
}

/** Runs a pure computation; its refusals point into the body that was sent. */
export async function answering<Answer>(
  body: object,
  compute: () => Answer | Promise<Answer>,
  options: RefusalOptions = {},
): Promise<Answer> {
  const { rename = (name: string) => name, enrich = (_error, field) => field } = options;
  try {
    return await compute();
  } catch (error) {
    if (!(error instanceof MetrologyError)) {
      throw error;
    }
    const { pointer } = error.details;
    const field = fieldErrorOf(error);
    const placed = pointer === undefined ? field : { ...field, pointer: pointerInto(body, rename(pointer)) };
    throw new ProblemException(codeOfRule(error.rule), error.message, { errors: [enrich(error, placed)] });
  }
}

const present = (body: object, names: readonly string[]): string[] =>
  names.filter((name) => memberOf(body, name) !== undefined);

/**
 * Requires exactly one of the named properties and returns its name. None is malformed; two contradict each other. `at` is the path of
 * the object in the whole body.
 */
export function requireExactlyOne<Name extends string>(
  body: object,
  names: readonly Name[],
  at: readonly (string | number)[] = [],
): Name {
  const given = present(body, names) as Name[];
  const detail = `Give exactly one of ${names.join(', ')}.`;
  if (given.length === 0) {
    throw new ProblemException('validation-failed', detail, {
      errors: [{ pointer: pointerTo(...at), rule: 'required', detail, allowed: names }],
    });
  }
  if (given.length > 1) {
    throw new ProblemException('not-computable', detail, {
      errors: given.map((name) => ({ pointer: pointerTo(...at, name), rule: 'contradictory', detail, allowed: names })),
    });
  }
  return given[0];
}

/**
 * Requires the needed properties, and refuses those that have no meaning here. `at` is the path of the object in the whole body.
 */
export function requireInputs(
  body: object,
  all: readonly string[],
  needed: readonly string[],
  taken: readonly string[],
  why: string,
  ...at: readonly string[]
): void {
  const missing = needed.filter((name) => memberOf(body, name) === undefined);
  if (missing.length > 0) {
    throw new ProblemException('validation-failed', `${why} needs ${missing.join(', ')}.`, {
      errors: missing.map((name) => ({
        pointer: pointerTo(...at, name),
        rule: 'required',
        detail: `${why} needs ${name}.`,
      })),
    });
  }
  const foreign = present(body, all).filter((name) => !needed.includes(name) && !taken.includes(name));
  if (foreign.length > 0) {
    throw new ProblemException('not-computable', `${why} does not take ${foreign.join(', ')}.`, {
      errors: foreign.map((name) => ({
        pointer: pointerTo(...at, name),
        rule: 'contradictory',
        detail: `${why} does not take ${name}.`,
        allowed: [...needed, ...taken],
      })),
    });
  }
}

/**
 * Runs a computation with one input of the body. A refusal points to that input, whatever its name in the pure function.
 */
export function pointingAt<Answer>(name: string, compute: () => Answer): Answer {
  try {
    return compute();
  } catch (error) {
    if (!(error instanceof MetrologyError)) throw error;
    throw new MetrologyError(error.rule, error.message, { ...error.details, pointer: name });
  }
}

/** Returns a property whose presence was checked before. */
export function given<Value>(value: Value | undefined): Value {
  if (value === undefined) {
    throw new Error('A property that was checked is missing.');
  }
  return value;
}
