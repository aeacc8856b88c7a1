import type { PeriodReport } from '../documents/report.dto.js';
import type { TieAmount, ReportTie } from '../documents/report-ties.dto.js';
import type { CsvCell, NamedTable } from '../render/csv-table.js';
import { FIGURES, figures, litres, number } from '../render/csv-table.js';

const AMOUNT = ['litres', 'litres_of_pure_alcohol', 'fermented', 'added'];
const amount = (part: TieAmount): CsvCell[] => [
  litres(part.litres),
  litres(part.litresOfPureAlcohol),
  litres(part.fermented),
  litres(part.added),
];

export const tiesTable = (ties: readonly ReportTie[]): NamedTable => ({
  name: 'ties',
  columns: [
    'tie',
    'side',
    'name',
    ...AMOUNT,
    'expanded_uncertainty_litres',
    'expanded_uncertainty_litres_of_pure_alcohol',
  ],
  rows: ties.flatMap((tie) => {
    const items = (side: 'given' | 'taken') =>
      tie[side].map((each) => [
        tie.name,
        side,
        each.name,
        ...amount(each),
        each.expandedUncertainty === undefined ? '' : litres(each.expandedUncertainty.litres),
        each.expandedUncertainty === undefined ? '' : litres(each.expandedUncertainty.litresOfPureAlcohol),
      ]);
    return [
      ...items('given'),
      [tie.name, 'given', 'total', ...amount(tie.totalGiven), '', ''],
      ...items('taken'),
      [tie.name, 'taken', 'total', ...amount(tie.totalTaken), '', ''],
      [tie.name, 'difference', tie.balances ? 'meets' : 'does not meet', ...amount(tie.difference), '', ''],
    ];
  }),
});

/** How goods passed from stage to stage, what was produced, what stock-takes found and what was entered late. */
export function workTables({ stages, ties, lotsProduced, stockDifferences, lateEntries }: PeriodReport): NamedTable[] {
  return [
    {
      name: 'stages',
      columns: ['stage', 'line', ...FIGURES, 'meets'],
      rows: stages.flatMap((each) =>
        (['opening', 'in', 'out', 'closing'] as const).map((line) => [
          each.stage,
          line,
          ...figures(each[line]),
          line === 'closing' ? String(each.balances) : '',
        ]),
      ),
    },
    tiesTable(ties),
    {
      name: 'lots-produced',
      columns: [
        'lot',
        'day',
        'occurred_at',
        'category',
        'method',
        'strength_percent',
        'expanded_uncertainty_percent',
        'operations',
        ...FIGURES,
      ],
      rows: lotsProduced.map((each) => [
        each.lotCode ?? '',
        each.day,
        each.occurredAt,
        each.category,
        each.finding?.methodId ?? '',
        number(each.finding?.strength.value),
        number(each.finding?.expandedUncertainty.value),
        each.operations,
        ...figures(each),
      ]),
    },
    {
      name: 'stock-differences',
      columns: ['what', 'category', 'occurred_at', 'explained', 'reason', 'operations', ...FIGURES],
      rows: stockDifferences.map((each) => [
        each.what,
        each.category,
        each.occurredAt,
        String(each.explained),
        each.reasonCode ?? '',
        each.operations,
        ...figures(each),
      ]),
    },
    {
      name: 'late-entries',
      columns: ['kind', 'occurred_at', 'recorded_at', 'days_late', 'operations'],
      rows: lateEntries.entries.map((each) => [
        each.kind,
        each.occurredAt,
        each.recordedAt,
        number(each.daysLate),
        each.operations,
      ]),
    },
  ];
}
