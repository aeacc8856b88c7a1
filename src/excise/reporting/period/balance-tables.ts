import type { PeriodReport, ReconciliationMeasures } from '../documents/report.dto.js';
import type { LotFinding } from '../documents/report-lots.dto.js';
import type { StockItem } from '../documents/report-stock.dto.js';
import { basisWord, isNothing, plain } from '../render/figures-text.js';
import { headFacts } from '../render/first-page.js';
import type { ReportTable } from '../render/report-table.js';
import { JUDGEMENT, judgementCells } from './judgement-cells.js';
import {
  bearing,
  code,
  decimal,
  expanded,
  FIGURES,
  figureCells,
  flag,
  instant,
  litres,
  number,
  onPageOnly,
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

/** Every line, between opening and closing. */
export const balanceTable = ({ opening, lines, closing }: PeriodReport): ReportTable =>
  tableOf('balance', { line: code('Line'), operations: operations('Ref.'), ...FIGURES, ...JUDGEMENT }, [
    { line: 'opening', ...figureCells(opening), emphasised: true },
    ...lines.map((each) => ({
      line: each.line,
      operations: { link: each.operations, figure: { figure: 'line' as const, line: each.line } },
      ...figureCells(each),
      ...judgementCells(each.judgement),
      csvOnly: isNothing(each),
    })),
    { line: 'closing', ...figureCells(closing), emphasised: true },
  ]);

export const weeksTable = ({ turnover }: Pick<PeriodReport, 'turnover'>): ReportTable =>
  tableOf(
    'weeks',
    { week: text('Week from'), direction: code('Direction'), ...FIGURES },
    turnover.weeks.flatMap((week) =>
      (['in', 'out'] as const).map((direction) => ({
        week: week.startsOn,
        direction,
        ...figureCells(week[direction]),
      })),
    ),
  );

export const categoriesTable = ({ categories }: PeriodReport): ReportTable =>
  tableOf(
    'categories',
    { category: code('Category'), line: code('Line'), operations: operations('Ref.'), ...FIGURES, ...JUDGEMENT },
    categories.flatMap(({ category, opening, lines, closing }) => [
      { category, line: 'opening', ...figureCells(opening), emphasised: true },
      ...lines.map((each) => ({
        category,
        line: each.line,
        operations: {
          link: each.operations,
          figure: { figure: 'category-line' as const, line: each.line, category },
        },
        ...figureCells(each),
        ...judgementCells(each.judgement),
      })),
      { category, line: 'closing', ...figureCells(closing), emphasised: true },
    ]),
  );

export function reconciliationTable({ reconciliation }: PeriodReport): ReportTable {
  const row = (figure: string, source: string, measures: ReconciliationMeasures) => ({ figure, source, ...measures });
  return tableOf(
    'reconciliation',
    {
      figure: code('Figure'),
      source: text('Source'),
      litres: litres('Litres', 6),
      fermented: litres('Pure alcohol fermented', 6),
      added: litres('Pure alcohol added', 6),
      balances: flag('Balances'),
    },
    [
      row('opening', 'report of the period before', reconciliation.opening),
      row('flows', 'nominal accounts', reconciliation.flows),
      row('closing', 'stock accounts', reconciliation.closing),
      {
        ...row('difference', 'closing less opening and flows', reconciliation.difference),
        balances: reconciliation.balances,
      },
    ],
  );
}

/** Containers as a person counts them: `5 full, 1 with 12.5 L`. */
const containersText = ({ full, partFull }: StockItem): string | undefined =>
  full === undefined || partFull === undefined
    ? full?.toFixed()
    : [...(full === 0 ? [] : [`${full} full`]), `1 with ${plain(partFull.value)} L`].join(', ');

export const stockTable = ({ stock }: PeriodReport): ReportTable =>
  tableOf(
    'stock',
    {
      kind: code('Kind'),
      category: code('Category'),
      description: text('Stock'),
      stage: code('Stage'),
      duty_status: code('Duty status'),
      owner: text('Owner'),
      count: number('Count'),
      full: number('Full'),
      part_full_litres: number('Part full, L'),
      containers: onPageOnly(decimal('Containers')),
      book_strength_percent: number('% vol', 3),
      last_counted_at: instant('Counted or gauged (local)'),
      operations: operations('Ref.'),
      ...FIGURES,
    },
    stock.items.map((each) => ({
      kind: each.kind,
      category: each.category,
      description: each.description,
      stage: each.stage,
      duty_status: each.dutyStatus,
      owner: each.owner,
      count: each.count,
      full: each.full,
      part_full_litres: each.partFull?.value,
      containers: containersText(each),
      book_strength_percent: each.bookStrength?.value,
      last_counted_at: each.lastCountedAt,
      operations: {
        link: each.operations,
        figure: { figure: 'stock', accountId: each.accountId, description: each.description },
      },
      ...figureCells(each),
    })),
  );

export const stockSumsTable = ({ stock }: PeriodReport): ReportTable =>
  tableOf('stock-sums', { by: text('Sum by'), name: text('Name'), ...FIGURES }, [
    ...stock.byStage.map((each) => ({ by: 'stage', name: each.stage, ...figureCells(each) })),
    ...stock.byProductionState.map((each) => ({
      by: 'state of production',
      name: each.productionState,
      ...figureCells(each),
    })),
    ...(stock.byOwner ?? []).map((each) => ({
      by: 'owner',
      name: each.owner ?? 'the producer',
      ...figureCells(each),
    })),
  ]);

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
