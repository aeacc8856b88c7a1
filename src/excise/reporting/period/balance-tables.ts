import type { Figures } from '../../../ledger/books/litres.dto.js';
import { NO_FIGURE, toFigures } from '../../../ledger/figures/figure.js';
import type { LineGroup, ReportLineName } from '../../../ledger/figures/report-lines.js';
import { kindOfLine, LINE_GROUPS, linesOfGroup, nameInBalance } from '../../../ledger/figures/report-lines.js';
import type { BalanceLine, DutyBalance } from '../documents/balances.dto.js';
import type { Reconciliation, ReconciliationMeasures } from '../documents/reconciliation.dto.js';
import type { PeriodReport, ReportOpening, Turnover } from '../documents/report.dto.js';
import type { LotFinding } from '../documents/report-lots.dto.js';
import { basisWord, isNothing } from '../render/figures-text.js';
import { headFacts } from '../render/first-page.js';
import type { ReportTable } from '../render/report-table.js';
import { JUDGEMENT, judgementCells } from './judgement-cells.js';
import {
  bearing,
  code,
  expanded,
  FIGURES,
  figureCells,
  flag,
  instant,
  litres,
  number,
  operations,
  tableOf,
  text,
} from '../render/report-table.js';

export function factsTable(report: PeriodReport): ReportTable {
  const { basis, producer, premises, period, opening, trail, versions, statement, duty, deficiency } = report;
  const facts: [string, string | number | boolean | undefined][] = [
    ['status', report.status],
    ...Object.entries(basis).map(([name, value]): [string, string] => [name, basisWord(value)]),
    ...headFacts(producer, [premises]),
    ['simulated', producer.simulated],
    ...Object.entries(period).map(([name, value]): [string, string] => [name, String(value)]),
    ['openingSource', opening.source],
    ['openingPeriodId', opening.periodId],
    ['openingReportHash', opening.reportHash],
    ['trailSequence', trail.sequence],
    ['trailHash', trail.hash],
    ['program', versions.program],
    ...versions.methods.map(({ id, version }): [string, string] => ['method', `${id} ${version}`]),
    ['ruleSet', `${duty.rule.id} ${duty.rule.version}: ${duty.rule.description}`],
    ['lateAfterDays', report.lateEntries.afterDays],
    ['productsCounted', report.productsCounted],
    ['stockDifferencesWithoutReason', deficiency.unexplainedDifferences],
    ...statement.map((each): [string, string] => ['statement', each]),
  ];
  return tableOf(
    'report',
    { fact: text('Fact'), value: text('Value') },
    facts.flatMap(([fact, value]) => (value === undefined ? [] : [{ fact, value: String(value) }])),
  );
}

const NO_FIGURES = toFigures(NO_FIGURE);

/** Account kind whose operations are behind a line. */
const kindOfBalanceLine = (line: string): string =>
  line === 'duty-status-moves' ? 'used-as-material' : kindOfLine(line as ReportLineName);

/** A balance of a period, or of all premises, whose lines lead to no operations. */
export type AnyBalance = Omit<DutyBalance, 'lines'> & {
  readonly lines: readonly (Omit<BalanceLine, 'operations'> & { readonly operations?: string })[];
};

const hasAny = ({ opening, closing, lines }: AnyBalance): boolean =>
  lines.length > 0 || !isNothing(opening) || !isNothing(closing);

/** The balances that hold or moved anything; the suspended one always. */
export const balancesShown = <Balance extends AnyBalance>(balances: readonly Balance[]): Balance[] =>
  balances.filter((each) => each.dutyStatus === 'suspended' || hasAny(each));

const TOGETHER = 'together';

interface Sums {
  readonly opening: Figures & Pick<ReportOpening, 'operations'>;
  readonly turnover: Pick<Turnover, LineGroup>;
  readonly closing: Figures;
}

/** Operations of opening stock; what a period before left has none in this one. */
const openingCell = ({ operations: link }: Pick<ReportOpening, 'operations'>) =>
  link === undefined ? {} : { operations: { link, figure: { figure: 'line' as const, line: 'opening' } } };

const sumRow = (dutyStatus: string, line: string, figures: Figures) => ({
  duty_status: dutyStatus,
  line,
  ...figureCells(figures),
  emphasised: true,
});

const linesRows = ({ dutyStatus, lines, ...sums }: AnyBalance, group: LineGroup) => {
  const own = lines.filter((each) => each.group === group);
  if (own.length === 0 && dutyStatus === 'paid' && group === 'adjusted') return [];
  // A CSV has every line of the suspended balance, so that its rows are the same in each period.
  const empty = dutyStatus === 'paid' ? [] : linesOfGroup(group).map(nameInBalance);
  return [
    ...empty
      .filter((line) => own.every((each) => each.line !== line))
      .map((line) => ({ duty_status: dutyStatus, group, line, ...figureCells(NO_FIGURES), csvOnly: true })),
    ...own.map((each) => ({
      duty_status: dutyStatus,
      group,
      line: each.line,
      ...(each.operations === undefined
        ? {}
        : {
            operations: {
              link: each.operations,
              figure: { figure: 'line' as const, line: kindOfBalanceLine(each.line) },
            },
          }),
      ...figureCells(each),
      ...judgementCells(each.judgement),
      csvOnly: isNothing(each),
    })),
    { ...sumRow(dutyStatus, group, sums[group]), csvOnly: group === 'adjusted' && own.length === 0 },
  ];
};

/** Each balance line by line from opening to closing, the lines in groups with their sums; two balances together, where there are two. */
export function balanceRows(balances: readonly AnyBalance[], { opening, turnover, closing }: Sums) {
  const shown = balancesShown(balances);
  return [
    ...shown.flatMap((balance) => [
      { ...sumRow(balance.dutyStatus, 'opening', balance.opening), ...openingCell(opening) },
      ...LINE_GROUPS.flatMap((group) => linesRows(balance, group)),
      sumRow(balance.dutyStatus, 'closing', balance.closing),
    ]),
    ...(shown.length < 2
      ? []
      : [
          sumRow(TOGETHER, 'opening', opening),
          ...LINE_GROUPS.map((group) => sumRow(TOGETHER, group, turnover[group])),
          sumRow(TOGETHER, 'closing', closing),
        ]),
  ];
}

/** Every line of each balance, between opening and closing. */
export const balanceTable = (report: PeriodReport): ReportTable =>
  tableOf(
    'balance',
    {
      duty_status: code('Duty status'),
      group: code('Sum'),
      line: code('Line'),
      operations: operations('Ref.'),
      ...FIGURES,
      ...JUDGEMENT,
    },
    balanceRows(report.balances, report),
  );

export const weeksTable = ({ turnover }: Pick<PeriodReport, 'turnover'>): ReportTable =>
  tableOf(
    'weeks',
    { week: text('Week from'), direction: code('Direction'), ...FIGURES },
    turnover.weeks.flatMap((week) =>
      LINE_GROUPS.map((direction) => ({
        week: week.startsOn,
        direction,
        ...figureCells(week[direction]),
        csvOnly: direction === 'adjusted' && isNothing(week[direction]),
      })),
    ),
  );

const saysNothing = (opening: Figures, lines: readonly Figures[]): boolean =>
  isNothing(opening) && lines.every(isNothing);

export const categoriesTable = ({ categories }: PeriodReport): ReportTable =>
  tableOf(
    'categories',
    {
      category: code('Category'),
      duty_status: code('Duty status'),
      line: code('Line'),
      operations: operations('Ref.'),
      ...FIGURES,
      ...JUDGEMENT,
    },
    categories.flatMap(({ category, dutyStatus: duty_status, opening, lines, closing }) => [
      {
        category,
        duty_status,
        line: 'opening',
        ...figureCells(opening),
        emphasised: true,
        csvOnly: saysNothing(opening, lines),
      },
      ...lines.map((each) => ({
        category,
        duty_status,
        line: each.line,
        operations: {
          link: each.operations,
          figure: { figure: 'category-line' as const, line: kindOfBalanceLine(each.line), category },
        },
        ...figureCells(each),
        ...judgementCells(each.judgement),
      })),
      {
        category,
        duty_status,
        line: 'closing',
        ...figureCells(closing),
        emphasised: true,
        csvOnly: saysNothing(opening, lines),
      },
    ]),
  );

function reconciliationRows(duty_status: string, reconciliation: Reconciliation) {
  const row = (figure: string, source: string, measures: ReconciliationMeasures) => ({
    duty_status,
    figure,
    source,
    ...measures,
  });
  return [
    row('opening', 'report of the period before', reconciliation.opening),
    row('flows', 'nominal accounts', reconciliation.flows),
    row('closing', 'stock accounts', reconciliation.closing),
    {
      ...row('difference', 'closing less opening and flows', reconciliation.difference),
      balances: reconciliation.balances,
    },
  ];
}

export function reconciliationTable({ reconciliation, balances }: PeriodReport): ReportTable {
  const shown = balancesShown(balances);
  return tableOf(
    'reconciliation',
    {
      duty_status: code('Duty status'),
      figure: code('Figure'),
      source: text('Source'),
      litres: litres('Litres', 6),
      fermented: litres('Pure alcohol fermented', 6),
      added: litres('Pure alcohol added', 6),
      balances: flag('Balances'),
    },
    [
      ...(shown.length < 2 ? [] : shown.flatMap((each) => reconciliationRows(each.dutyStatus, each.reconciliation))),
      ...reconciliationRows(shown.length < 2 ? 'suspended' : TOGETHER, reconciliation),
    ],
  );
}

/** Columns of the finding of a lot. */
export const FINDING = {
  method: code('Found by'),
  strength_percent: bearing('expanded_uncertainty_percent', number('% vol')),
  expanded_uncertainty_percent: expanded(number('U, % vol')),
  sampled_at: instant('Sampled (local)'),
};

export const findingCells = (finding: LotFinding | undefined) => ({
  method: finding?.methodId,
  strength_percent: finding?.strength.value,
  expanded_uncertainty_percent: finding?.expandedUncertainty.value,
  sampled_at: finding?.sampledAt,
});

export const lotsInProcessTable = ({ lotsInProcess }: PeriodReport): ReportTable =>
  tableOf(
    'lots-in-process',
    { lot: text('Lot'), standing: code('Finding'), ...FINDING, ...FIGURES },
    lotsInProcess.map((each) => ({
      lot: each.lotCode,
      standing: each.standing,
      ...findingCells(each.finding),
      ...figureCells(each),
    })),
  );
