import { isJudgedLine } from '../documents/loss-lines.js';
import { REPORT_FORMAT_VERSION } from '../documents/frozen-report.js';
import { byNameAndStatus, fromStatusKey, statusKey } from '../../../ledger/figures/by-status.js';
import { kindOfLine, REPORT_LINES } from '../../../ledger/figures/report-lines.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount } from '../../../ledger/books/amount.js';
import type { Figure, ReconciledFigures } from '../../../ledger/figures/figure.js';
import {
  COVERAGE_FACTOR,
  figureOf,
  toFigures,
  NO_FIGURE,
  reconcile,
  sumOfAmounts,
} from '../../../ledger/figures/figure.js';
import type { FlowRow } from '../../../ledger/figures/flow.reader.js';
import { keepUntil } from '../../../ledger/periods/filing-days.js';
import { daysOfFiling } from '../../../ledger/periods/periods.dto.js';
import { grouped } from '../../../platform/grouped.js';
import { VERSION } from '../../../platform/version.js';
import { judgementOf } from '../../movements/judgement.js';
import { toStockDifference } from '../../movements/stock-takes/stock-take.mapper.js';
import { dutyBalances } from '../parts/balances-part.js';
import { measures, reconciliationOf } from '../parts/reconciliation.js';
import { deficiencyPart } from '../parts/deficiency-part.js';
import { dutyPart, lastRuleSet } from '../parts/duty-part.js';
import { moneySummary } from '../parts/money-part.js';
import { figuresPart } from '../parts/figures-part.js';
import { latePart } from '../parts/late-part.js';
import { operationLink } from '../parts/links.js';
import { correctionsPart, lossesPart } from '../parts/losses-part.js';
import { receivedPart } from '../parts/received-part.js';
import { lossSumsPart } from '../parts/loss-sums-part.js';
import { lotsProducedPart } from '../parts/produced-part.js';
import type { ReportCategory, ReportLine, PeriodReport } from '../documents/report.dto.js';
import type { ReportInput } from '../sources/report-input.js';
import { closingOf, lotsInProcessPart, stockPart } from '../parts/stock-part.js';
import { stagesPart, tiesPart } from '../parts/ties-part.js';
import { turnoverPart } from '../parts/turnover-part.js';

/** Statement of what the figures do not claim. */
export const STATEMENT = [
  'Local law and licensed practice decide what has to be kept, reported and paid. This report is not legal advice and not a tax return.',
  'The figures are not an assessment of duty: litres of pure alcohol for duty follow from the rule that is named beside them.',
  'Each figure rests on what was entered. Its uncertainty covers the measurements, not what was left out.',
];

export const BASIS = {
  unit: 'L',
  referenceTemperature: { value: 20, unit: 'Cel' },
  coverageFactor: Number(COVERAGE_FACTOR),
  coverage:
    'normal distribution, 95 %; contributions of one origin add linearly, origins by the root of the sum of squares',
  signs:
    'lines and losses are the effect on stock: what goes out is negative; releases for duty are counted as what left',
};

const flowAmount = (row: FlowRow): Amount => figureOf(row).amount;

/** The reconciliation in all: opening from the frozen report, flows from nominal accounts, closing from the balances of stock accounts. */
export function reconciliationOfInput({ opening, flows, stock }: ReportInput): ReconciledFigures {
  const total = flows.filter(({ category }) => category === null).map(flowAmount);
  const closing = stock.map((row) => amount(row.litres, row.fermented, row.added));
  return reconcile(opening.total.amount, sumOfAmounts(total), sumOfAmounts(closing));
}

/** Lines of these rows; `all`: every line, empty ones too. */
function linesOf(rows: readonly FlowRow[], filter: Readonly<Record<string, string>>, all: boolean): ReportLine[] {
  const own = new Map(rows.map((row) => [row.kind, row]));
  return REPORT_LINES.filter((line) => all || own.has(line)).map((line) => {
    const row = own.get(line);
    const figures = toFigures(row === undefined ? NO_FIGURE : figureOf(row));
    return {
      line,
      ...figures,
      ...(row !== undefined && isJudgedLine(line) ? { judgement: judgementOf(figures) } : {}),
      operations: operationLink({ ...filter, line: kindOfLine(line) }),
    };
  });
}

/** Produced and re-measured as one figure, where there are both: a gauge after the finding moves from one line to the other. */
function measuredTogether(own: readonly FlowRow[]): Pick<ReportCategory, 'producedAndReMeasured'> {
  const both = own.filter(({ kind }) => kind === 'produced' || kind === 're-measurement');
  return both.length < 2 ? {} : { producedAndReMeasured: measures(sumOfAmounts(both.map(flowAmount))) };
}

function categoriesPart(input: ReportInput): ReportCategory[] {
  const { opening, flows, stockSums, period } = input;
  const closing = new Map<string, Figure>(
    stockSums
      .filter(({ level }) => level === 'category')
      .map((row) => [statusKey(row.category ?? '', row.dutyStatus ?? ''), figureOf(row)]),
  );
  const flowsOf = grouped(
    flows.filter(({ category }) => category !== null),
    ({ category, dutyStatus }) => statusKey(category ?? '', dutyStatus ?? ''),
  );
  const keys = new Set([...opening.byCategory.keys(), ...closing.keys(), ...flowsOf.keys()]);
  return [...keys].sort(byNameAndStatus).map((key) => {
    const { name: category, dutyStatus } = fromStatusKey(key);
    const before = opening.byCategory.get(key) ?? NO_FIGURE;
    const after = closing.get(key) ?? NO_FIGURE;
    const own = flowsOf.get(key) ?? [];
    return {
      category,
      dutyStatus,
      opening: toFigures(before),
      lines: linesOf(own, { periodId: period.id, category, dutyStatus }, false),
      ...measuredTogether(own),
      closing: toFigures(after),
      balances: reconcile(before.amount, sumOfAmounts(own.map(flowAmount)), after.amount).balances,
    };
  });
}

/** Makes the document of what was read: the same books make the same document. */
export function reportDocument(input: ReportInput): PeriodReport {
  const { status, producer, premises, period, opening, head, methods } = input;
  const { source, periodId, reportHash } = opening;
  const [duty, deficiency] = [dutyPart(input), deficiencyPart(input)];
  return {
    format: 'gaugebook-period-report',
    formatVersion: REPORT_FORMAT_VERSION,
    status,
    producer,
    premises,
    period: {
      id: period.id,
      startsOn: period.startsOn,
      endsBefore: period.endsBefore,
      startsAt: period.startsAt.toISOString(),
      endsAt: period.endsAt.toISOString(),
      timeZone: period.timeZone,
      ...daysOfFiling(period, input.settings),
      keepUntil: keepUntil(period, input.settings.retentionYears),
    },
    basis: BASIS,
    opening: {
      source,
      ...(periodId === undefined ? {} : { periodId }),
      ...(reportHash === undefined ? {} : { reportHash }),
      ...toFigures(opening.total),
      ...(source === 'first-period' ? { operations: operationLink({ periodId: period.id, line: 'opening' }) } : {}),
    },
    balances: dutyBalances({
      ...input,
      openingByStatus: opening.byStatus,
      operations: { periodId: period.id },
    }),
    lines: linesOf(
      input.flows.filter(({ category }) => category === null),
      { periodId: period.id },
      true,
    ),
    closing: toFigures(closingOf(input)),
    turnover: turnoverPart(input),
    categories: categoriesPart(input),
    reconciliation: reconciliationOf(reconciliationOfInput(input)),
    stages: stagesPart(input),
    ties: tiesPart(input),
    figures: figuresPart(input),
    stock: stockPart(input),
    duty,
    deficiency,
    money: moneySummary(duty, deficiency),
    received: receivedPart(input),
    losses: lossesPart(input),
    lossesOverPeriods: lossSumsPart(input),
    productsCounted: input.productsCounted,
    stockDifferences: input.differences.map(toStockDifference),
    corrections: correctionsPart(input),
    lotsProduced: lotsProducedPart(input),
    lotsInProcess: lotsInProcessPart(input),
    lateEntries: latePart(input),
    trail: { sequence: Number(head.sequence), hash: head.hash },
    versions: {
      program: VERSION,
      methods: methods.map(({ id, version }) => ({ id, version })),
      ruleSet: lastRuleSet(input),
    },
    statement: STATEMENT,
  };
}
