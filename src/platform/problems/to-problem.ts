import { HttpException } from '@nestjs/common';
import { MetrologyError } from '../../metrology/problem.js';
import type { ProblemCode } from './problem-codes.js';
import type { FieldError } from './problem.exception.js';
import { ProblemException, pointerTo } from './problem.exception.js';
import { isUnavailable } from './unavailable.js';

const CODE_BY_STATUS: Readonly<Record<number, ProblemCode>> = {
  400: 'validation-failed',
  401: 'unauthenticated',
  403: 'forbidden',
  404: 'not-found',
  405: 'method-not-allowed',
  406: 'not-acceptable',
  408: 'request-timeout',
  409: 'conflict',
  412: 'precondition-failed',
  413: 'body-too-large',
  414: 'uri-too-long',
  415: 'unsupported-media-type',
  422: 'not-computable',
  428: 'precondition-required',
  429: 'rate-limited',
  431: 'headers-too-large',
  503: 'service-unavailable',
};

const DETAIL_BY_CODE: Partial<Record<ProblemCode, string>> = {
  'validation-failed': 'The request does not have the required form.',
  unauthenticated: 'A valid key is needed.',
  forbidden: 'The key may not do this.',
  'not-found': 'Nothing is found under this address.',
  'not-acceptable': 'The resource is not available in the media types of the Accept header.',
  'body-too-large': 'The body is larger than this route accepts.',
  'uri-too-long': 'The address, or a part of it, is too long.',
  'unsupported-media-type': 'The body has to be application/json in UTF-8.',
  'malformed-url': 'The address cannot be read.',
  'malformed-body': 'The body cannot be read.',
  'service-unavailable': 'The service cannot answer at the moment.',
};

const CODE_BY_FASTIFY_ERROR: Readonly<Record<string, ProblemCode>> = {
  FST_ERR_BAD_URL: 'malformed-url',
  FST_ERR_MAX_PARAM_LENGTH: 'uri-too-long',
  FST_ERR_CTP_BODY_TOO_LARGE: 'body-too-large',
  FST_ERR_CTP_INVALID_MEDIA_TYPE: 'unsupported-media-type',
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: 'malformed-body',
  FST_ERR_CTP_EMPTY_JSON_BODY: 'malformed-body',
  FST_ERR_CTP_INVALID_JSON_BODY: 'malformed-body',
  FST_ERR_NOT_FOUND: 'not-found',
};

const CODE_BY_RULE: Readonly<Record<string, ProblemCode>> = {
  'out-of-range': 'out-of-range',
  'unknown-unit': 'unit-unknown',
  'unknown-scale': 'scale-unknown',
  'readings-disagree': 'readings-disagree',
  'final-above-original': 'readings-disagree',
  'suspicious-gravity': 'out-of-range',
  'beyond-table': 'out-of-range',
  frozen: 'out-of-range',
};

/** A limit beyond this stands for no limit. */
const NO_LIMIT = 1e300;

const isKept = (value: unknown): boolean =>
  value !== undefined && (typeof value !== 'number' || Number.isFinite(value));

const openEnded = (limit: number): number | null => (Math.abs(limit) < NO_LIMIT ? limit : null);

/** Turns the refusal of a pure function into a field error; its pointer may be a path of names or a JSON pointer already. */
export function fieldErrorOf(error: MetrologyError): FieldError {
  const { pointer = '', range, ...details } = error.details;
  const shown = Object.fromEntries(Object.entries(details).filter(([, value]) => isKept(value)));
  return {
    ...shown,
    ...(range === undefined ? {} : { range: [openEnded(range[0]), openEnded(range[1])] as const }),
    pointer: pointer === '' || pointer.startsWith('/') ? pointer : pointerTo(...pointer.split(/[./]/)),
    rule: error.rule,
    detail: error.message,
  };
}

export function codeOfRule(rule: string): ProblemCode {
  return Object.hasOwn(CODE_BY_RULE, rule) ? CODE_BY_RULE[rule] : 'not-computable';
}

const ofCode = (code: ProblemCode, cause: unknown): ProblemException =>
  new ProblemException(code, DETAIL_BY_CODE[code] ?? 'The request was refused.', { cause });

function ofHttpStatus(status: number, cause: unknown): ProblemException {
  if (Object.hasOwn(CODE_BY_STATUS, status)) {
    return ofCode(CODE_BY_STATUS[status], cause);
  }
  return status >= 400 && status < 500 ? ofCode('validation-failed', cause) : internal(cause);
}

const internal = (cause: unknown): ProblemException =>
  new ProblemException('internal-error', 'The service failed. The request id identifies the entry in its log.', {
    cause,
  });

function ofForeignCode(error: object): ProblemException | undefined {
  const { code, statusCode } = error as { code?: unknown; statusCode?: unknown };
  if (typeof code !== 'string' || !code.startsWith('FST_')) {
    return undefined;
  }
  if (Object.hasOwn(CODE_BY_FASTIFY_ERROR, code)) {
    return ofCode(CODE_BY_FASTIFY_ERROR[code], error);
  }
  return typeof statusCode === 'number' ? ofHttpStatus(statusCode, error) : internal(error);
}

/** Turns any thrown value into a problem. An unexpected one becomes `internal-error`; its message is not sent. */
export function toProblem(error: unknown): ProblemException {
  if (error instanceof ProblemException) {
    return error;
  }
  if (error instanceof MetrologyError) {
    const field = fieldErrorOf(error);
    return new ProblemException(codeOfRule(error.rule), error.message, { errors: [field] });
  }
  if (error instanceof HttpException) {
    return ofHttpStatus(error.getStatus(), error);
  }
  if (typeof error === 'object' && error !== null) {
    const foreign = ofForeignCode(error);
    if (foreign !== undefined) {
      return foreign;
    }
    if (isUnavailable(error)) {
      return ofCode('service-unavailable', error);
    }
  }
  return internal(error);
}
