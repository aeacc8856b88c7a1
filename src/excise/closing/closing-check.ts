import type { ReconciledFigures } from '../../ledger/figures/figure.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import type { TrailFault } from '../../tenancy/trail/trail.dto.js';
import { litresOf } from '../../ledger/books/litres.dto.js';
import type { Litres } from '../../ledger/books/litres.dto.js';
import type { PeriodReport } from '../reporting/documents/report.dto.js';
import type { TieAmount } from '../reporting/documents/report-ties.dto.js';

/** What stands in the way of closing, or should be looked at before. */
export interface ClosingFinding {
  readonly code: ClosingCode;
  /** Whether closing is refused because of it. */
  readonly blocks: boolean;
  readonly detail: string;
  readonly link?: string;
}

export const CLOSING_CODES = [
  'closed-already',
  'not-ended',
  'earlier-period-open',
  'trail-fault',
  'reconciliation-do-not-meet',
  'category-does-not-meet',
  'stage-does-not-meet',
  'tie-does-not-meet',
  'releases-do-not-tie',
  'in-process-without-finding',
  'loss-without-reason',
  'unexplained-difference',
  'never-arrived',
  'late-entries',
] as const;
export type ClosingCode = (typeof CLOSING_CODES)[number];

export interface ClosingFacts {
  readonly now: Date;
  readonly period: PeriodRow;
  /** The earliest period of the premises before this one that is still open. */
  readonly openBefore: PeriodRow | undefined;
  readonly faults: readonly TrailFault[];
  readonly reconciliation: ReconciledFigures;
  readonly report: PeriodReport;
  /** The producer's setting. */
  readonly allowsUnexplained: boolean;
}

/** Lines on which an entry is never ordinary. */
const EXPLAINED: ReadonlySet<string> = new Set(['accidental-loss', 'theft', 'transit-loss', 'destroyed']);

const blocking = (code: ClosingCode, detail: string, link?: string): ClosingFinding => ({
  code,
  blocks: true,
  detail,
  ...(link === undefined ? {} : { link }),
});
const notable = (code: ClosingCode, detail: string, link?: string): ClosingFinding => ({
  ...blocking(code, detail, link),
  blocks: false,
});

function stateFindings({ now, period, openBefore }: ClosingFacts): ClosingFinding[] {
  return [
    ...(period.reportId === null ? [] : [blocking('closed-already', 'The period is closed.')]),
    ...(now < period.endsAt
      ? [blocking('not-ended', `The period ends at ${period.endsAt.toISOString()}; it can be closed from then on.`)]
      : []),
    ...(openBefore === undefined
      ? []
      : [
          blocking(
            'earlier-period-open',
            `The period from ${openBefore.startsOn} is open; periods are closed in their order.`,
            `/v1/periods/${openBefore.id}`,
          ),
        ]),
  ];
}

const decimal = (value: Litres): string => litresOf(value).toFixed();

const moreThanNothing = ({ litres, fermented, added }: TieAmount): string =>
  `${decimal(litres)} L, ${decimal(fermented)} L fermented and ${decimal(added)} L added pure alcohol`;

function bookFindings({ faults, reconciliation, report }: ClosingFacts): ClosingFinding[] {
  const { litres, fermented, added } = reconciliation.difference;
  return [
    ...faults.map(({ place, problem }) => blocking('trail-fault', `${place}: ${problem}.`, '/v1/audit-trail/check')),
    ...(reconciliation.balances
      ? []
      : [
          blocking(
            'reconciliation-do-not-meet',
            `Closing differs from opening and flows by ${litres.toFixed()} L, ${fermented.toFixed()} L fermented and ${added.toFixed()} L added pure alcohol.`,
          ),
        ]),
    ...report.categories
      .filter(({ balances }) => !balances)
      .map(({ category }) =>
        blocking('category-does-not-meet', `Opening and flows of ${category} do not make its closing.`),
      ),
    ...report.stages
      .filter(({ balances }) => !balances)
      .map(({ stage }) =>
        blocking('stage-does-not-meet', `Opening, in and out of stage ${stage} do not make its closing.`),
      ),
    ...report.ties
      .filter(({ balances }) => !balances)
      .map(({ name, difference }) =>
        blocking('tie-does-not-meet', `The sides of ${name} differ by ${moreThanNothing(difference)}.`),
      ),
  ];
}

function lateFindings({ report }: ClosingFacts): ClosingFinding[] {
  const { afterDays, entries } = report.lateEntries;
  const first = entries.map(({ occurredAt }) => occurredAt).sort();
  return entries.length === 0
    ? []
    : [
        notable(
          'late-entries',
          `${entries.length} entries were made more than ${afterDays * 24} hours after the event, the first of them on ${first[0]}.`,
        ),
      ];
}

function workFindings({ report, allowsUnexplained }: ClosingFacts): ClosingFinding[] {
  return [
    ...(report.duty.tie.balances
      ? []
      : [notable('releases-do-not-tie', 'The litres of the releases are not those of the books.')]),
    ...report.lotsInProcess
      .filter(({ standing }) => standing === 'none')
      .map(({ lotId, lotCode }) =>
        notable(
          'in-process-without-finding',
          `Lot ${lotCode} is in process and no strength of it is known, not even a provisional one.`,
          `/v1/lots/${lotId}`,
        ),
      ),
    ...report.losses
      .filter(({ line, reasonCode }) => reasonCode === undefined && EXPLAINED.has(line))
      .map(({ line, day, operations }) =>
        notable('loss-without-reason', `A ${line} of ${day} has no reason.`, operations),
      ),
    ...report.stock.items
      .filter(({ kind }) => kind === 'in-transit')
      .map(({ what, operations }) =>
        notable('never-arrived', `${what}, sent to other premises, has not arrived.`, operations),
      ),
    ...report.stockDifferences
      .filter(({ explained }) => !explained)
      .map(({ what, litres, operations }) =>
        (allowsUnexplained ? notable : blocking)(
          'unexplained-difference',
          `The stock-take of ${what} differs from the books by ${litres.exact ?? String(litres.value)} L, and no reason is given.`,
          operations,
        ),
      ),
  ];
}

/** Everything that is open, unexplained or late; what blocks comes first. */
export const closingFindings = (facts: ClosingFacts): ClosingFinding[] => [
  ...stateFindings(facts),
  ...bookFindings(facts),
  ...workFindings(facts),
  ...lateFindings(facts),
];
