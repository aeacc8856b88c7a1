import type { FullProducer } from '../support/full-producer.js';

// How test/books/read-back.test.ts reads an answer again and compares it.

export type Json = Record<string, unknown>;

/** The way in which the answer of a route is read back. */
export interface Reading {
  /** What the body has in place of what `writeBodies` has. */
  readonly body?: (own: FullProducer) => Promise<Json>;
  /** The id in the path, where it is not the one that `fullProducer` has. */
  readonly id?: (own: FullProducer) => Promise<string>;
  /** Addresses of what is read, by a name; `made` is the address in `Location`. */
  readonly reads?: (answer: Json, id: string) => Readonly<Record<string, string>>;
  /** Facts of `made` that the database adds. */
  readonly added?: readonly string[];
  /** Facts of the answer that nothing keeps: a secret that is shown once, or a sum that the postings give. */
  readonly notKept?: readonly string[];
  /** Where facts of the answer stand in what is read, where `made` is not the same kind of thing as the answer. */
  readonly answered?: Readonly<Record<string, string>>;
  /** The answer again, out of what was read, where it lists several things. */
  readonly from?: (read: Readonly<Record<string, Json>>, answer: Json) => Json;
  /** Where facts of the body stand in what is read. */
  readonly given?: Readonly<Record<string, string>>;
}

export const operationOf = ({ operationId }: Json) => ({ operation: `/v1/operations/${String(operationId)}` });

/** An event that makes an operation: what its answer has in common with all, with what it has besides. */
export const event = (more: Reading = {}): Reading => ({
  ...more,
  reads: (answer, id) => ({ ...operationOf(answer), ...more.reads?.(answer, id) }),
  answered: {
    operationId: 'operation/id',
    kind: 'operation/kind',
    occurredAt: 'operation/occurredAt',
    lotId: 'operation/lotId',
    compositionId: 'operation/compositionId',
    ...more.answered,
  },
  notKept: ['volume', 'pureAlcohol', ...(more.notKept ?? [])],
  given: { occurredAt: 'operation/occurredAt', personId: 'operation/personId', ...more.given },
});

export const MIXED: Reading = {
  reads: ({ findingId }) => ({ finding: `/v1/findings/${String(findingId)}` }),
  answered: {
    findingId: 'finding/id',
    strength: 'finding/strength',
    compositionId: 'finding/compositionId',
    expandedUncertainty: 'finding/uncertainty/expanded',
  },
  notKept: ['warnings', 'water', 'volumeChange', 'inProcess', 'added', 'booked', 'parts', 'loss', 'category'],
};
export const closingOf = ({ period, report }: Readonly<Record<string, Json>>): Json => ({
  periodId: period.id,
  reportHash: (period.report as Json).hash,
  head: report.trail,
  closing: report.closing,
  reconciliation: report.reconciliation,
  report: `/v1/periods/${String(period.id)}/report`,
});

/** Numbers to ten figures, as a column keeps twelve places of a computed one; readings of a finding in the order of their use. */
export const rounded = (value: unknown): unknown =>
  JSON.parse(JSON.stringify(value), (_, each: unknown) =>
    typeof each === 'number' ? Number(each.toPrecision(10)) : Array.isArray(each) ? byUse(each as Json[]) : each,
  ) as unknown;
const byUse = (list: readonly Json[]): readonly Json[] =>
  list.every((each) => typeof each?.use === 'string')
    ? [...list].sort((a, b) => (String(a.use) < String(b.use) ? -1 : 1))
    : list;
export const at = (read: unknown, path: string): unknown =>
  path.split('/').reduce<unknown>((value, name) => (value as Json | undefined)?.[name], read);

export const without = (facts: Json, ...names: readonly string[]): Json =>
  Object.fromEntries(Object.entries(facts).filter(([name]) => !names.includes(name)));

/** The answer as it follows from what was read. */
export function readAgain(
  { from, answered, added = [] }: Reading,
  read: Readonly<Record<string, Json>>,
  answer: Json,
): Json {
  if (from !== undefined) {
    return from(read, answer);
  }
  if (answered === undefined) {
    return without(read.made, ...added);
  }
  const found = Object.entries(answered).map(([fact, path]) => [fact, at(read, path)] as const);
  return Object.fromEntries(found.filter(([, value]) => value !== undefined));
}
