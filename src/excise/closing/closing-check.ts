import type { ReconciledFigures } from '../../ledger/figures/figure.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import type { TrailFault } from '../../tenancy/trail/trail.dto.js';
import { litresOf } from '../../ledger/books/litres.dto.js';
import type { Litres } from '../../ledger/books/litres.dto.js';
import type { FlagCode } from '../duty/rules/line.js';
import type { PeriodReport } from '../reporting/documents/report.dto.js';
import type { TieAmount } from '../reporting/documents/report-ties.dto.js';
import { groupedNumber, momentText, operationNoun } from '../../platform/words.js';
import { differenceWords } from '../../production/operations/gauges/gauge-difference.js';
import { quantityText } from '../../production/operations/material-stock/material-use.js';
import { missingInHead } from '../reporting/sources/report-head.js';
import { signalsOf } from '../reporting/parts/loss-sums-part.js';
import type { ClosingDoubts } from './closing-doubts.reader.js';

/** A reason that refuses the closing, or a point to look at before it. */
export interface ClosingFinding {
  readonly code: ClosingCode;
  /** true: closing is refused because of it. */
  readonly blocks: boolean;
  readonly detail: string;
  readonly link?: string;
}

export const CLOSING_CODES = [
  'already-closed',
  'not-ended',
  'earlier-period-open',
  'trail-fault',
  'reconciliation-does-not-balance',
  'category-does-not-balance',
  'stage-does-not-balance',
  'tie-does-not-balance',
  'releases-differ-from-books',
  'duty-incomplete',
  'release-flagged',
  'in-process-without-finding',
  'loss-without-reason',
  'unexplained-difference',
  'losses-over-periods',
  'consignment-not-arrived',
  'label-does-not-hold',
  'gauge-far-from-books',
  'alcohol-above-fermentables',
  'recipient-missing',
  'material-below-zero',
  'late-entries',
  'head-incomplete',
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
  /** Packed goods of the period or in stock whose label does not hold. */
  readonly doubts: ClosingDoubts;
  readonly labels: readonly { readonly packagedLotId: string; readonly lotMark: string; readonly detail: string }[];
  /** The producer's settings. */
  readonly allowsUnexplained: boolean;
  readonly allowsIncompleteDuty: boolean;
}

const PROGRAM_FAULT = 'This is a fault of the program, not of your entries: ask whoever runs the service.';

/** Lines whose entries need a reason. */
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
    ...(period.reportId === null
      ? []
      : [
          blocking(
            'already-closed',
            'The period is closed already. A mistake in it is corrected by an operation in an open period.',
          ),
        ]),
    ...(now < period.endsAt
      ? [blocking('not-ended', `The period ends at ${period.endsAt.toISOString()}. Close it after that.`)]
      : []),
    ...(openBefore === undefined
      ? []
      : [
          blocking(
            'earlier-period-open',
            `The period from ${openBefore.startsOn} is still open, and periods are closed in order. Close that one first.`,
            `/v1/periods/${openBefore.id}`,
          ),
        ]),
  ];
}

const decimal = (value: Litres): string => litresOf(value).toFixed();

const measuresOf = ({ litres, fermented, added }: TieAmount): string =>
  `${decimal(litres)} L, ${decimal(fermented)} L of fermented and ${decimal(added)} L of added pure alcohol`;

function bookFindings({ faults, reconciliation, report }: ClosingFacts): ClosingFinding[] {
  const { litres, fermented, added } = reconciliation.difference;
  return [
    ...faults.map(({ place, problem }) =>
      blocking(
        'trail-fault',
        `The audit trail has a fault at ${place}: ${problem}. Ask whoever runs the service to look into it before anything is closed.`,
        '/v1/audit-trail/check',
      ),
    ),
    ...(reconciliation.balances
      ? []
      : [
          blocking(
            'reconciliation-does-not-balance',
            `Closing stock differs from opening stock and flows by ${litres.toFixed()} L, ${fermented.toFixed()} L of fermented and ${added.toFixed()} L of added pure alcohol. ${PROGRAM_FAULT}`,
          ),
        ]),
    ...report.categories
      .filter(({ balances }) => !balances)
      .map(({ category }) =>
        blocking(
          'category-does-not-balance',
          `For ${category}, opening stock and flows do not add up to closing stock. ${PROGRAM_FAULT}`,
        ),
      ),
    ...report.stages
      .filter(({ balances }) => !balances)
      .map(({ stage }) =>
        blocking(
          'stage-does-not-balance',
          `At stage ${stage}, opening stock, in and out do not add up to closing stock. ${PROGRAM_FAULT}`,
        ),
      ),
    ...report.ties
      .filter(({ balances }) => !balances)
      .map(({ name, difference }) =>
        blocking(
          'tie-does-not-balance',
          `Inputs and outputs of ${name} differ by ${measuresOf(difference)}. ${PROGRAM_FAULT}`,
        ),
      ),
  ];
}

function lateFindings({ report }: ClosingFacts): ClosingFinding[] {
  const { afterDays, afterWorkingDays, entries } = report.lateEntries;
  const within = afterWorkingDays === undefined ? `${afterDays * 24} hours` : `${afterWorkingDays} working days`;
  const first = entries.map(({ occurredAt }) => occurredAt).sort();
  return entries.length === 0
    ? []
    : [
        notable(
          'late-entries',
          `${entries.length} operations were entered more than ${within} after the event; the earliest event was on ${first[0].slice(0, 10)}. The report lists them under late entries.`,
        ),
      ];
}

function workFindings({ report, allowsUnexplained }: ClosingFacts): ClosingFinding[] {
  return [
    ...(report.duty.tie.balances
      ? []
      : [
          notable(
            'releases-differ-from-books',
            'The litres of the releases differ from those of the books. Compare the releases with the line `released` of the report.',
          ),
        ]),
    ...report.lotsInProcess
      .filter(({ standing }) => standing === 'none')
      .map(({ lotId, lotCode }) =>
        notable(
          'in-process-without-finding',
          `Lot ${lotCode} is in process and its strength is not known. Take a gravity, so that a provisional strength can be found.`,
          `/v1/lots/${lotId}`,
        ),
      ),
    ...report.losses
      .filter(({ line, reasonCode }) => reasonCode === undefined && EXPLAINED.has(line))
      .map(({ line, day, operations }) =>
        notable(
          'loss-without-reason',
          `The entry on line ${line} of ${day} has no reason. Reverse it and enter it again with one.`,
          operations,
        ),
      ),
    ...report.stock.items
      .filter(({ kind }) => kind === 'in-transit')
      .map(({ description, operations }) =>
        notable(
          'consignment-not-arrived',
          `${description} was sent to other premises and has not arrived. Enter the arrival there, or the loss.`,
          operations,
        ),
      ),
    ...report.stockDifferences
      .filter(({ explained }) => !explained)
      .map(({ product, litres, operations }) =>
        (allowsUnexplained ? notable : blocking)(
          'unexplained-difference',
          `The stock-take of ${product} differs from the books by ${litres.exact ?? String(litres.value)} L without a reason. Enter what explains the difference and name the stock-take in \`explains\`, or take stock again with a reason.`,
          operations,
        ),
      ),
  ];
}

/** Flags of a release that leave its duty unknown. */
const WITHOUT_MONEY: ReadonlySet<string> = new Set<FlagCode>([
  'no-category',
  'no-original-extract',
  'band-undecided',
  'no-rate',
]);

function dutyFindings({ report, allowsIncompleteDuty }: ClosingFacts): ClosingFinding[] {
  return report.duty.releases.flatMap(({ lotMark, category, dutyDate, flags, operations }) =>
    flags.map(({ code, detail }) => {
      // A serving tank gives no lot mark.
      const release = `The release of ${lotMark === '' ? category : lotMark} on ${dutyDate}`;
      return WITHOUT_MONEY.has(code)
        ? (allowsIncompleteDuty ? notable : blocking)(
            'duty-incomplete',
            `${release} has no duty yet: ${detail} Enter what is missing in the duty rules, or allow incomplete duty in the settings.`,
            operations,
          )
        : notable('release-flagged', `${release}: ${detail}`, operations);
    }),
  );
}

const lossFindings = ({ report, period }: ClosingFacts): ClosingFinding[] =>
  signalsOf(report.lossesOverPeriods.series).map((detail) =>
    notable('losses-over-periods', detail, `/v1/periods/${period.id}/report`),
  );

const labelFindings = ({ labels }: ClosingFacts): ClosingFinding[] =>
  labels.map(({ packagedLotId, lotMark, detail }) =>
    notable(
      'label-does-not-hold',
      `The label of ${lotMark} does not hold. ${detail}`,
      `/v1/packaged-lots/${packagedLotId}`,
    ),
  );

const rounded = (value: number): string => groupedNumber(Number(value.toFixed(2)));

const doubtFindings = ({ doubts, period: { timeZone } }: ClosingFacts): ClosingFinding[] => [
  ...doubts.gauges.map((gauged) => {
    const { vesselName, lotCode, occurredAt, reasonCode, operationId } = gauged;
    const reason = reasonCode === null ? 'It has no reason.' : `Its reason: ${reasonCode}.`;
    return notable(
      'gauge-far-from-books',
      `The gauge of ${vesselName} with lot ${lotCode} on ${momentText(occurredAt, timeZone)} is far from the books. ${differenceWords(gauged, doubts.usualGaugePercent)} ${reason} If it was misread, put it right by a difference.`,
      `/v1/operations/${operationId}`,
    );
  }),
  ...doubts.lots.map(({ lotId, lotCode, fermentedL, mostL }) =>
    notable(
      'alcohol-above-fermentables',
      `By the books lot ${lotCode} fermented ${rounded(fermentedL)} L of pure alcohol; what was charged and added could give ${rounded(mostL)} L at the most. Check the gauges, the gravities and the masses.`,
      `/v1/lots/${lotId}`,
    ),
  ),
  ...doubts.unnamed.map(({ id, kind, litres, occurredAt }) =>
    notable(
      'recipient-missing',
      `The ${operationNoun(kind)} of ${groupedNumber(litres)} L on ${momentText(occurredAt, timeZone)} names nobody who received it. Enter it again with its recipient, and name it in \`corrects\`.`,
      `/v1/movements/${id}`,
    ),
  ),
  ...doubts.materials.map(({ id, code, unit, onHand }) =>
    notable(
      'material-below-zero',
      `${quantityText(onHand, unit)} of ${code} are on hand: more was taken than it had. Count it, or put the entry right.`,
      `/v1/material-lots/${id}`,
    ),
  ),
];

/** Nothing that is missing on the first page keeps a period open: the figures do not rest on it. */
function headFindings({ period, report: { producer, premises } }: ClosingFacts): ClosingFinding[] {
  const missing = period.reportId === null ? missingInHead(producer, premises) : [];
  return missing.length === 0
    ? []
    : [
        notable(
          'head-incomplete',
          `The first page of the report does not have ${missing.join(', ')}: not given. Enter it with the producer’s settings or the premises; a closed report stays as it is.`,
          '/v1/producer',
        ),
      ];
}

/** Findings of the check: of the state of the period, of the books, of open work, of duty, of late entries, and of the first page. */
export const closingFindings = (facts: ClosingFacts): ClosingFinding[] => [
  ...stateFindings(facts),
  ...bookFindings(facts),
  ...workFindings(facts),
  ...dutyFindings(facts),
  ...lossFindings(facts),
  ...labelFindings(facts),
  ...doubtFindings(facts),
  ...lateFindings(facts),
  ...headFindings(facts),
];
