import type { ProblemCode } from './problem-codes.js';
import { problemKind } from './problem-codes.js';

/** One value that was refused: its place, the rule that it broke, and the facts of the message as data. */
export interface FieldError {
  /** JSON pointer into the body, or into the query or the path with the prefixes `#/query` and `#/path`. */
  readonly pointer: string;
  /** Stable kebab-case name of the rule. */
  readonly rule: string;
  readonly detail: string;
  readonly range?: readonly [number | null, number | null];
  readonly unit?: string;
  readonly allowed?: readonly string[];
  /** The value that was probably meant. */
  readonly suggestion?: string;
  readonly [more: string]: unknown;
}

export interface ProblemOptions {
  readonly errors?: readonly FieldError[];
  /** Extension members of the problem document; never text from the database. */
  readonly members?: Readonly<Record<string, unknown>>;
  readonly headers?: Readonly<Record<string, string>>;
  /** The underlying error: logged, never sent. */
  readonly cause?: unknown;
}

/** The exception for every expected refusal; the filter turns it into an RFC 9457 document. */
export class ProblemException extends Error {
  readonly status: number;
  readonly errors: readonly FieldError[];
  readonly members: Readonly<Record<string, unknown>>;
  readonly headers: Readonly<Record<string, string>>;

  constructor(
    readonly code: ProblemCode,
    detail: string,
    options: ProblemOptions = {},
  ) {
    super(detail, options.cause === undefined ? undefined : { cause: options.cause });
    this.name = 'ProblemException';
    this.status = problemKind(code).status;
    this.errors = options.errors ?? [];
    this.members = options.members ?? {};
    this.headers = options.headers ?? {};
  }
}

/** Writes one name or index as a segment of a JSON pointer (RFC 6901). */
const pointerSegment = (name: string | number): string =>
  `/${String(name).replaceAll('~', '~0').replaceAll('/', '~1')}`;

/** Makes a JSON pointer from its segments. */
export const pointerTo = (...path: readonly (string | number)[]): string => path.map(pointerSegment).join('');
