import type { ProblemException } from './problem.exception.js';
import { problemKind } from './problem-codes.js';

export const PROBLEM_MEDIA_TYPE = 'application/problem+json';

/** Field errors in one answer at the most. */
export const MOST_ERRORS = 50;

const DEFAULT_RETRY_SECONDS = '2';

/** The RFC 9457 document of a problem, as it is sent. */
export function problemDocument(problem: ProblemException, requestId: string): Record<string, unknown> {
  const { code, errors } = problem;
  return {
    type: `/problems/${code}`,
    title: problemKind(code).title,
    status: problem.status,
    detail: problem.message,
    instance: `urn:uuid:${requestId}`,
    code,
    ...(errors.length > 0 ? { errors: errors.slice(0, MOST_ERRORS) } : {}),
    ...(errors.length > MOST_ERRORS ? { errorCount: errors.length } : {}),
    ...problem.members,
  };
}

/** The headers that belong to a problem of this status. */
export function problemHeaders(problem: ProblemException): Record<string, string> {
  const headers: Record<string, string> = { 'content-type': PROBLEM_MEDIA_TYPE, 'cache-control': 'no-store' };
  if (problem.status === 401) {
    headers['www-authenticate'] = 'Bearer';
  }
  if (problem.status === 429 || problem.status === 503) {
    headers['retry-after'] = DEFAULT_RETRY_SECONDS;
  }
  for (const [name, value] of Object.entries(problem.headers)) {
    headers[name.toLowerCase()] = value;
  }
  return headers;
}
