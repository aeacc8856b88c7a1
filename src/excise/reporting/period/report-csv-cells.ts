import type { Figures, Litres } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import { csvText } from '../../../platform/csv-text.js';
import type { ReconciliationMeasures } from '../documents/report.dto.js';

export const TEXT_COLUMNS = ['section', 'line', 'category', 'what', 'at', 'reason', 'operations', 'unit'] as const;
export const NUMBER_COLUMNS = [
  'litres',
  'litres_of_pure_alcohol',
  'fermented',
  'added',
  'expanded_uncertainty_litres',
  'expanded_uncertainty_litres_of_pure_alcohol',
  'count',
  'strength_percent',
  'litres_of_pure_alcohol_for_duty',
  'raw',
  'value',
] as const;

type TextCells = Partial<Record<(typeof TEXT_COLUMNS)[number], string>>;
type NumberCells = Partial<Record<(typeof NUMBER_COLUMNS)[number], string>>;
/** One row of the table: what it has no cell for is empty. */
export type Cells = TextCells & NumberCells;

export const decimal = (value: Litres): string => canonicalText(litresOf(value));
export const plain = (value: number): string => canonicalText(new Exact(value));

export const figureCells = (figures: Figures): NumberCells => ({
  litres: decimal(figures.litres),
  litres_of_pure_alcohol: decimal(figures.litresOfPureAlcohol),
  fermented: decimal(figures.fermented),
  added: decimal(figures.added),
  expanded_uncertainty_litres: decimal(figures.expandedUncertainty.litres),
  expanded_uncertainty_litres_of_pure_alcohol: decimal(figures.expandedUncertainty.litresOfPureAlcohol),
});

export const roadCells = (road: ReconciliationMeasures): NumberCells => ({
  litres: decimal(road.litres),
  fermented: decimal(road.fermented),
  added: decimal(road.added),
});

/** A row as it is written: texts are neutralised for spreadsheets, numbers stay numbers. */
export const record = (cells: Cells): string[] => [
  ...TEXT_COLUMNS.map((column) => csvText(cells[column] ?? '')),
  ...NUMBER_COLUMNS.map((column) => cells[column] ?? ''),
];
