import type { Content } from 'pdfmake/interfaces.js';
import type { LossSeries } from '../documents/loss-sums.dto.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { sumChart } from '../render/charts.js';
import { plain, words } from '../render/figures-text.js';
import { charts, h1, quiet } from '../render/page.js';
import type { ReportTable } from '../render/report-table.js';
import { bearing, code, expanded, litres, number, tableOf, text } from '../render/report-table.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';
import { JUDGED, JUDGEMENT, judgementCells } from './judgement-cells.js';

/** Litres that this period cannot account for, by category. */
export const unaccountedTable = ({ lossesOverPeriods }: PeriodReport): ReportTable =>
  tableOf(
    'unaccounted',
    {
      category: code('Category'),
      litres: bearing('judged_uncertainty', litres('Missing, L')),
      ...JUDGEMENT,
      standardised: number('z', 3),
    },
    lossesOverPeriods.unaccounted.map((each) => ({
      category: each.category,
      litres: each.litres,
      ...judgementCells(each.judgement),
      standardised: each.standardised,
    })),
  );

/** The running sums of each category, period by period. */
export const lossSumsTable = ({ lossesOverPeriods }: PeriodReport): ReportTable =>
  tableOf(
    'losses-over-periods',
    {
      category: code('Category'),
      period: text('Period from'),
      litres: bearing('expanded_uncertainty_litres', litres('Missing, L')),
      expanded_uncertainty_litres: expanded(litres('U, L')),
      standardised: number('z', 3),
      sum_missing: number('Sum, missing', 3),
      sum_surplus: number('Sum, too much', 3),
      signal: code('Signal'),
    },
    lossesOverPeriods.series.flatMap(({ category, points }) =>
      points.map((each) => ({
        category,
        period: each.startsOn,
        litres: each.litres,
        expanded_uncertainty_litres: each.expandedUncertainty,
        standardised: each.standardised,
        sum_missing: each.missing,
        sum_surplus: each.surplus,
        signal: each.signal,
        emphasised: each.signal !== undefined,
      })),
    ),
  );

/** A chart needs two periods at the least. */
const chartOf = ({ category, points }: LossSeries, limit: number): { title: string; svg: string }[] => {
  const shown = points.map(({ startsOn, missing, surplus }) => ({ period: startsOn, missing, surplus }));
  return points.length < 2 ? [] : [{ title: `Running sums of ${words(category)}`, svg: sumChart(shown, limit) }];
};

/** Losses over periods: what this one cannot account for, and the running sums with their charts. */
export function lossSumPages(report: PeriodReport, context: PageContext): Content[] {
  const { limits, periodsToFalseSignal, periodsToFindLeak, series } = report.lossesOverPeriods;
  const explained = `What gauges and stock-takes found missing, in standard uncertainties (z), summed over the periods beyond k = ${plain(limits.referenceValue)}. A sum beyond h = ${plain(limits.decisionLimit)} is no measuring scatter: scatter alone gets there once in ${plain(periodsToFalseSignal)} periods, a loss of 1.5 standard uncertainties a period after ${plain(periodsToFindLeak)}.`;
  return [
    tablePage(
      unaccountedTable(report),
      {
        heading: [
          h1('Losses over periods'),
          quiet(explained),
          ...(report.lossesOverPeriods.unaccounted.length === 0 ? [] : [quiet(JUDGED)]),
        ],
        shown: [
          ['category', '*'],
          ['litres', 80],
          ['judged_uncertainty', 70],
          ['probability', 50],
          ['standardised', 50],
        ],
        none: 'Nothing was missing and nothing too much.',
      },
      context,
    ),
    charts(series.flatMap((each) => chartOf(each, limits.decisionLimit))),
    ...(series.length === 0
      ? []
      : [
          tablePage(
            lossSumsTable(report),
            {
              heading: [],
              shown: [
                ['category', '*'],
                ['period', 62],
                ['litres', 66],
                ['standardised', 40],
                ['sum_missing', 56],
                ['sum_surplus', 56],
                ['signal', 46],
              ],
            },
            context,
          ),
        ]),
  ];
}
