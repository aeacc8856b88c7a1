import { amount, minus, plus } from '../../src/ledger/books/amount.js';
import type { Amount } from '../../src/ledger/books/amount.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { Floor } from '../support/floor.js';
import type { ProblemBody } from '../support/problem.js';
import { problemOf } from '../support/problem.js';

export type Json = Record<string, unknown>;

export const L = (value: number) => ({ value, unit: 'L' });
export const kg = (value: number) => ({ value, unit: 'kg' });
export const percent = (value: number) => ({ value, unit: '%' });
export const number = (quantity: unknown): number => (quantity as { value: number }).value;

interface Posting {
  side: string;
  kind: string;
  category?: string;
  litres: { value: number; exact?: string };
  fermented: { value: number; exact?: string };
  added: { value: number; exact?: string };
}

const exact = ({ value, exact: text }: { value: number; exact?: string }): string => text ?? String(value);

/** What an operation posted, litres / fermented / added by `side kind category`: each line as `[litres, fermented, added]`. */
export async function posted(floor: Floor, operationId: unknown): Promise<Record<string, [number, number, number]>> {
  const { postings } = (await floor.get(`/v1/operations/${String(operationId)}`)) as unknown as { postings: Posting[] };
  const sums = new Map<string, Amount>();
  let total = amount(0);
  for (const each of postings) {
    const key = `${each.kind} ${each.category ?? ''}`.trim();
    const line = amount(exact(each.litres), exact(each.fermented), exact(each.added));
    sums.set(key, plus(sums.get(key) ?? amount(0), line));
    total = plus(total, line);
  }
  expect(minus(total, amount(0))).toEqual(amount(0));
  return Object.fromEntries(
    [...sums].map(([key, { litres, fermented, added }]) => [
      key,
      [litres.toNumber(), fermented.toNumber(), added.toNumber()],
    ]),
  );
}

/** A refusal: a whole problem with this code, the place and the rule, and no row of any table added. */
export async function refused(
  floor: Floor,
  path: string,
  body: Json,
  expected: { code: string; pointer?: string; rule?: string },
): Promise<ProblemBody> {
  const before = await floor.service.rowCounts();
  const response = await floor.service.call('post', path, {
    key: floor.key,
    body,
    headers: { 'idempotency-key': `refused-${path.length}-${JSON.stringify(body).length}` },
  });
  const problem = problemOf(response);
  const [first] = problem.errors ?? [];
  expect({ code: problem.code, pointer: first?.pointer, rule: first?.rule }).toEqual({
    pointer: first?.pointer,
    rule: first?.rule,
    ...expected,
  });
  expect(await floor.service.rowCounts()).toEqual(before);
  return problem;
}

interface Report {
  reconciliation: { balances: boolean };
  categories: {
    category: string;
    balances: boolean;
    lines: { line: string; litres: { value: number }; litresOfPureAlcohol: { value: number } }[];
  }[];
}

/** The provisional report of the first period: litres by category and line; every category balances by itself. */
export async function reportLines(floor: Floor): Promise<Record<string, number>> {
  const [period] = (await floor.get('/v1/periods')).items as { id: string }[];
  const report = (await floor.get(`/v1/periods/${period.id}/report`)) as unknown as Report;
  expect(report.reconciliation.balances).toBe(true);
  expect(report.categories.filter(({ balances }) => !balances)).toEqual([]);
  return Object.fromEntries(
    report.categories.flatMap(({ category, lines }) =>
      lines.map(({ line, litres }) => [`${category} ${line}`, litres.value]),
    ),
  );
}

export const holds = (floor: Floor): Promise<void> => expectBooksHold(floor.service, floor.producerId, floor.key);

/** A material and a lot of it that came in. */
export async function materialLot(
  floor: Floor,
  material: Json,
  lot: Json,
): Promise<{ materialId: string; materialLotId: string }> {
  const materialId = String((await floor.post('/v1/materials', material)).id);
  const received = await floor.post('/v1/material-lots', {
    materialId,
    premisesId: floor.premisesId,
    code: `M-${String(material.name)}`,
    occurredAt: '2026-03-01T01:00:00Z',
    ...lot,
  });
  return { materialId, materialLotId: String(received.id) };
}
