import type { AccessRule } from '../access.js';
import type { ProblemCode } from '../problems/problem-codes.js';
import { PROBLEM_CODES, problemKind } from '../problems/problem-codes.js';
import { MOST_ERRORS, PROBLEM_MEDIA_TYPE } from '../problems/problem-document.js';

/** The facts of a route from which its possible refusals follow. */
export interface RouteKind {
  readonly access: AccessRule;
  readonly hasBody: boolean;
  readonly hasPath: boolean;
  readonly problems: readonly ProblemCode[];
}

const BODY_CODES: readonly ProblemCode[] = [
  'malformed-body',
  'body-too-deep',
  'duplicate-key',
  'number-too-long',
  'validation-failed',
  'body-too-large',
  'unsupported-media-type',
];

const KEY_CODES: readonly ProblemCode[] = ['key-in-url', 'unauthenticated', 'key-revoked', 'forbidden'];

/** The problems that a route of this kind can answer with, its own included. */
export function problemsOf({ access, hasBody, hasPath, problems }: RouteKind): ProblemCode[] {
  const codes = new Set<ProblemCode>(['malformed-url', ...problems]);
  if (hasBody) {
    BODY_CODES.forEach((code) => codes.add(code));
  }
  if (hasPath) {
    codes.add('not-found');
  }
  if (access !== 'public') {
    KEY_CODES.forEach((code) => codes.add(code));
  }
  return [...codes.add('rate-limited').add('internal-error').add('service-unavailable')];
}

const header = (description: string, schema: Record<string, unknown>) => ({ description, schema });

const COUNT = { type: 'integer', format: 'int32', minimum: 0, maximum: 1_000_000 };

export const HEADERS = {
  'X-Request-Id': header('Id of the request; leads to the log.', { type: 'string', format: 'uuid', maxLength: 36 }),
  'Retry-After': header('Seconds to wait.', COUNT),
  'WWW-Authenticate': header('The scheme that is asked for.', { type: 'string', enum: ['Bearer'] }),
  'RateLimit-Limit': header('Requests of the present window.', COUNT),
  'RateLimit-Remaining': header('Requests that remain in it.', COUNT),
  'RateLimit-Reset': header('Seconds until all of them are allowed again.', COUNT),
};

const headerRef = (name: keyof typeof HEADERS) => ({ $ref: `#/components/headers/${name}` });

/** Headers of a good answer. */
export function headersOf(access: AccessRule): Record<string, { $ref: string }> {
  return {
    'X-Request-Id': headerRef('X-Request-Id'),
    ...(access === 'public' ? {} : rateHeaders),
  };
}

const rateHeaders = {
  'RateLimit-Limit': headerRef('RateLimit-Limit'),
  'RateLimit-Remaining': headerRef('RateLimit-Remaining'),
  'RateLimit-Reset': headerRef('RateLimit-Reset'),
};

const refusalName = (status: number): string => `Refusal${status}`;

/** One shared response for each status that a refusal can have; which codes an operation has stands in the operation. */
export function refusalResponses(): Record<string, unknown> {
  const byStatus = new Map<number, ProblemCode[]>();
  for (const [code, { status }] of Object.entries(PROBLEM_CODES)) {
    byStatus.set(status, [...(byStatus.get(status) ?? []), code as ProblemCode]);
  }
  const entries = [...byStatus].sort(([a], [b]) => a - b);
  return Object.fromEntries(
    entries.map(([status, codes]) => [
      refusalName(status),
      {
        description: codes.map((code) => `\`${code}\`: ${problemKind(code).title}.`).join('\n'),
        headers: {
          'X-Request-Id': headerRef('X-Request-Id'),
          ...rateHeaders,
          ...(status === 429 || status === 503 ? { 'Retry-After': headerRef('Retry-After') } : {}),
          ...(status === 401 ? { 'WWW-Authenticate': headerRef('WWW-Authenticate') } : {}),
        },
        content: { [PROBLEM_MEDIA_TYPE]: { schema: { $ref: '#/components/schemas/Problem' } } },
      },
    ]),
  );
}

/** The responses of an operation that can answer with these codes. */
export function problemResponses(codes: readonly ProblemCode[]): Record<string, { $ref: string }> {
  const statuses = [...new Set(codes.map((code) => problemKind(code).status))].sort((a, b) => a - b);
  return Object.fromEntries(
    statuses.map((status) => [String(status), { $ref: `#/components/responses/${refusalName(status)}` }]),
  );
}

const text = (maxLength: number, description: string) => ({ type: 'string', maxLength, pattern: '^.*$', description });

/** Schemas of the problem document. */
export const PROBLEM_SCHEMAS = {
  FieldError: {
    type: 'object',
    required: ['pointer', 'rule', 'detail'],
    additionalProperties: true,
    properties: {
      pointer: text(500, 'JSON pointer to the value that was refused; empty for the whole body.'),
      in: { type: 'string', enum: ['query', 'path'], description: 'Where the value stands, if not in the body.' },
      rule: { type: 'string', maxLength: 60, pattern: '^[a-z-]+$', description: 'Name of the rule that it broke.' },
      detail: text(2000, 'The rule in words.'),
      range: {
        type: 'array',
        minItems: 2,
        maxItems: 2,
        items: { type: ['number', 'null'] },
        description: 'What is possible, from and to.',
      },
      unit: text(20, 'Unit of the range.'),
      allowed: { type: 'array', maxItems: 100, items: text(100, 'A value that is taken.') },
      suggestion: text(100, 'What was probably meant.'),
    },
  },
  Problem: {
    type: 'object',
    description: 'RFC 9457 problem document.',
    required: ['type', 'title', 'status', 'detail', 'instance', 'code'],
    additionalProperties: true,
    properties: {
      type: { type: 'string', format: 'uri-reference', maxLength: 80, description: 'Address of the page of the code.' },
      title: text(200, 'The code in words.'),
      status: { type: 'integer', format: 'int32', minimum: 400, maximum: 599 },
      detail: text(2000, 'What happened this time.'),
      instance: { type: 'string', format: 'uri', maxLength: 60, description: 'Id of the request.' },
      code: { type: 'string', maxLength: 60, pattern: '^[a-z-]+$' },
      errors: { type: 'array', maxItems: MOST_ERRORS, items: { $ref: '#/components/schemas/FieldError' } },
      errorCount: { type: 'integer', format: 'int32', minimum: 1, maximum: 1_000_000 },
    },
  },
};
