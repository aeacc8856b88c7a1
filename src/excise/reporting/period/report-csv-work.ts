import type { PeriodReport } from '../documents/report.dto.js';
import type { Cells } from './report-csv-cells.js';
import { decimal, figureCells, plain } from './report-csv-cells.js';
import type { TieAmount } from '../documents/report-ties.dto.js';

const amountCells = (part: TieAmount): Cells => ({
  litres: decimal(part.litres),
  litres_of_pure_alcohol: decimal(part.litresOfPureAlcohol),
  fermented: decimal(part.fermented),
  added: decimal(part.added),
});

function stageRows({ stages, ties }: PeriodReport): Cells[] {
  return [
    ...stages.flatMap((each) =>
      (['opening', 'in', 'out', 'closing'] as const).map((line) => ({
        section: 'stage',
        line,
        what: each.stage,
        ...figureCells(each[line]),
      })),
    ),
    ...ties.flatMap((tie) => [
      ...(['given', 'taken'] as const).flatMap((side) => [
        ...tie[side].map((each) => ({
          section: 'tie',
          line: tie.name,
          what: `${side}: ${each.name}`,
          ...amountCells(each),
          ...(each.expandedUncertainty === undefined
            ? {}
            : {
                expanded_uncertainty_litres: decimal(each.expandedUncertainty.litres),
                expanded_uncertainty_litres_of_pure_alcohol: decimal(each.expandedUncertainty.litresOfPureAlcohol),
              }),
        })),
        {
          section: 'tie',
          line: tie.name,
          what: `${side}: total`,
          ...amountCells(side === 'given' ? tie.totalGiven : tie.totalTaken),
        },
      ]),
      {
        section: 'tie',
        line: tie.name,
        what: 'difference',
        reason: tie.balances ? 'meets' : 'does not meet',
        ...amountCells(tie.difference),
      },
    ]),
  ];
}

/** How goods passed from stage to stage, what was produced, lost, missed and put right, and what was entered late. */
export function workRows(report: PeriodReport): Cells[] {
  const { stockDifferences, losses, corrections, lotsProduced, lateEntries } = report;
  return [
    ...stageRows(report),
    ...lotsProduced.map((each) => ({
      section: 'lot-produced',
      line: each.finding?.methodId ?? '',
      category: each.category,
      what: each.lotCode ?? '',
      at: each.occurredAt,
      operations: each.operations,
      ...figureCells(each),
      ...(each.finding === undefined ? {} : { strength_percent: plain(each.finding.strength.value) }),
    })),
    ...stockDifferences.map((each) => ({
      section: 'stock-difference',
      line: each.explained ? 'explained' : 'unexplained',
      category: each.category,
      what: each.what,
      at: each.occurredAt,
      reason: each.reasonCode ?? '',
      operations: each.operations,
      ...figureCells(each),
    })),
    ...[...losses, ...corrections].map((each) => ({
      section: each.line === 'earlier-period' ? 'correction' : 'loss',
      line: each.line,
      category: each.category,
      at: each.occurredAt,
      reason: each.reasonCode ?? '',
      operations: each.operations,
      ...figureCells(each),
    })),
    ...lateEntries.entries.map((each) => ({
      section: 'late-entry',
      line: each.kind,
      at: each.occurredAt,
      what: `entered ${each.recordedAt}`,
      operations: each.operations,
      value: plain(each.daysLate),
      unit: 'd',
    })),
  ];
}
