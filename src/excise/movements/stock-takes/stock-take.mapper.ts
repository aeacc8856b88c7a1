import { toLitres } from '../../../ledger/books/litres.dto.js';
import { figureOf, toFigures } from '../../../ledger/figures/figure.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { Exact } from '../../../metrology/decimals.js';
import { judged, judgementOf } from '../judgement.js';
import type { CountRow, DifferenceRow } from './stock-take.reader.js';
import type { CountedProduct, StockDifference, StockTake } from './stock-takes.dto.js';

type Shown = Omit<
  CountRow,
  'stockTakeId' | 'sequence' | 'premisesId' | 'occurredAt' | 'recordedAt' | 'personId' | 'countSheet' | 'reversed'
> & { readonly reversed?: boolean };

export function toCountedProduct(row: Shown): CountedProduct {
  const { operationId, lotId, compositionId, packagedLotId, materialLotId, vesselId, category, dutyStatus, counted } =
    row;
  const { reasonCode, explanation, investigatedBy, offset } = row;
  const difference = new Exact(row.countedLitres).minus(row.bookLitres);
  return {
    operationId,
    category,
    book: toLitres(row.bookLitres),
    counted: toLitres(row.countedLitres),
    difference: toLitres(difference),
    differenceOfPureAlcohol: toLitres(row.differenceLpa),
    ...(difference.isZero() ? {} : { judgement: judged('litres', difference, new Exact(row.expandedLitres)) }),
    explained: difference.isZero() || reasonCode !== null,
    ...given({
      lotId,
      compositionId,
      packagedLotId,
      materialLotId,
      vesselId,
      dutyStatus,
      count: counted,
      reasonCode,
      explanation,
      investigatedBy,
      offset,
    }),
    ...(row.reversed === true ? { reversed: true } : {}),
  };
}

/** The products of stock-takes, together again. */
export function toStockTakes(rows: readonly CountRow[]): StockTake[] {
  const takes = new Map<string, StockTake>();
  for (const row of rows) {
    const { stockTakeId, premisesId, occurredAt, recordedAt, personId, countSheet } = row;
    const take = takes.get(stockTakeId) ?? {
      id: stockTakeId,
      premisesId,
      occurredAt: occurredAt.toISOString(),
      recordedAt: recordedAt.toISOString(),
      ...given({ personId, countSheet }),
      counts: [],
    };
    take.counts.push(toCountedProduct(row));
    takes.set(stockTakeId, take);
  }
  return [...takes.values()];
}

export function toStockDifference(row: DifferenceRow): StockDifference {
  const figures = toFigures(figureOf(row));
  return {
    operationId: row.operationId,
    stockTakeId: row.stockTakeId,
    occurredAt: row.occurredAt.toISOString(),
    category: row.category,
    product: row.product,
    ...given({
      reasonCode: row.reasonCode,
      investigatedBy: row.investigatedBy,
      countSheet: row.countSheet,
      offset: row.offset,
    }),
    book: toLitres(row.bookLitres),
    counted: toLitres(row.countedLitres),
    explained: row.reasonCode !== null,
    ...figures,
    judgement: judgementOf(figures),
    operations: `/v1/operations/${row.operationId}`,
  };
}
