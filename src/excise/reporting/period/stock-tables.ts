import type { PeriodReport } from '../documents/report.dto.js';
import type { StockItem } from '../documents/report-stock.dto.js';
import { plain } from '../render/figures-text.js';
import type { ReportTable } from '../render/report-table.js';
import { JUDGEMENT } from './judgement-cells.js';
import {
  code,
  decimal,
  FIGURES,
  figureCells,
  instant,
  number,
  onPageOnly,
  operations,
  tableOf,
  text,
} from '../render/report-table.js';

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
      ...JUDGEMENT,
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
  tableOf('stock-sums', { by: text('Sum by'), name: text('Name'), duty_status: code('Duty status'), ...FIGURES }, [
    ...stock.byStage.map((each) => ({
      by: 'stage',
      name: each.stage,
      duty_status: each.dutyStatus,
      ...figureCells(each),
    })),
    ...stock.byProductionState.map((each) => ({
      by: 'state of production',
      name: each.productionState,
      duty_status: each.dutyStatus,
      ...figureCells(each),
    })),
    ...(stock.byOwner ?? []).map((each) => ({
      by: 'owner',
      name: each.owner ?? 'the producer',
      ...figureCells(each),
    })),
  ]);
