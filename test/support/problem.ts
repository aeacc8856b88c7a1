import { PROBLEM_CODES } from '../../src/platform/problems/problem-codes.js';

export interface ProblemBody {
  code: string;
  status: number;
  type: string;
  instance: string;
  detail: string;
  errors?: {
    pointer: string;
    rule: string;
    detail: string;
    range?: unknown;
    allowed?: unknown;
    suggestion?: string;
    in?: string;
  }[];
  errorCount?: number;
}

/** Every refusal is a whole problem document that gives nothing away. */
export function problemOf(response: { status: number; headers: Record<string, string>; text: string }): ProblemBody {
  const body = JSON.parse(response.text) as ProblemBody;
  expect(response.headers['content-type']).toMatch(/^application\/problem\+json/);
  expect(Object.keys(PROBLEM_CODES)).toContain(body.code);
  expect(body.type).toBe(`/problems/${body.code}`);
  expect(body.status).toBe(response.status);
  expect(body.instance).toBe(`urn:uuid:${response.headers['x-request-id']}`);
  expect(response.text).not.toMatch(/node_modules|\.[jt]s:\d|select \*|P2010|ledger_pkey|ECONNREFUSED|at position/);
  return body;
}
