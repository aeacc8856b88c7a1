import type { DutyStatus } from '../../../ledger/books/account.js';
import { OWN } from '../../../ledger/books/account.js';
import { DUTY_STATUSES } from '../../../ledger/figures/by-status.js';
import { amount, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Figure } from '../../../ledger/figures/figure.js';
import { figureOf, toFigures, NO_FIGURE, sumOfAmounts } from '../../../ledger/figures/figure.js';
import type { StockAtRow, StockStanding, StockSumRow } from '../../../ledger/figures/stock-at.reader.js';
import { STAGES } from '../../../ledger/figures/stages.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import { latestProvisionalOf, ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import { grouped } from '../../../platform/grouped.js';
import { operationLink } from './links.js';
import type { LotFinding, LotInProcess } from '../documents/report-lots.dto.js';
import type { StockOfOwner, StockItem, ReportStock } from '../documents/report-stock.dto.js';
import type { ReportInput } from '../sources/report-input.js';
import type { StockNames } from '../sources/stock-names.reader.js';

const STANDINGS: readonly StockStanding[] = ['material', 'in-process', 'finished'];

const figureBy = (sums: readonly StockSumRow[], match: (row: StockSumRow) => boolean): Figure => {
  const row = sums.find(match);
  return row === undefined ? NO_FIGURE : figureOf(row);
};

/** Closing stock by the balances; its uncertainty is from the postings, as only they have components. */
export function closingOf({ stock, stockSums }: ReportInput): Figure {
  const uncertainty = figureBy(stockSums, ({ level }) => level === 'total');
  return { ...uncertainty, amount: sumOfAmounts(stock.map((row) => amount(row.litres, row.fermented, row.added))) };
}

function descriptionOf(row: StockAtRow, { compositions, packagedLots, vessels, materialLots }: StockNames): string {
  const packaged = packagedLots.get(row.packagedLotId ?? '');
  if (packaged !== undefined) {
    return `${packaged.lotMark}, ${packaged.container} of ${new Exact(packaged.nominalLitres).toFixed()} L`;
  }
  const lot = compositions.get(row.compositionId ?? '')?.lotCode ?? materialLots.get(row.materialLotId ?? '');
  return [lot, vessels.get(row.vesselId ?? '')].filter((word) => word !== undefined).join(', ');
}

/** Containers by their litres: full ones, and what a further one holds. */
function containersOf(litres: Decimal, nominalLitres: string): Pick<StockItem, 'count' | 'full' | 'partFull'> {
  const rest = litres.modulo(nominalLitres);
  return {
    count: toPlaces6HalfEven(litres.dividedBy(nominalLitres)).toNumber(),
    full: litres.dividedToIntegerBy(nominalLitres).toNumber(),
    ...(rest.isZero() ? {} : { partFull: { value: rest.toNumber(), unit: 'L' } }),
  };
}

function itemOf(
  row: StockAtRow,
  sum: StockSumRow,
  { names, lastCounted }: Pick<ReportInput, 'names' | 'lastCounted'>,
): StockItem {
  const figure = figureOf(sum);
  const { litres } = figure.amount;
  const packaged = names.packagedLots.get(row.packagedLotId ?? '');
  const composition = names.compositions.get(row.compositionId ?? '');
  const countedAt = lastCounted.get(row.id);
  return {
    accountId: row.id,
    account: row.key,
    kind: row.kind,
    category: sum.category ?? '',
    dutyStatus: row.dutyStatus,
    ...(row.owner === OWN ? {} : { owner: row.owner }),
    description: descriptionOf(row, names),
    ...given({
      stage: row.stage,
      lotId: composition?.lotId ?? packaged?.lotId ?? null,
      compositionId: row.compositionId ?? packaged?.compositionId ?? null,
      vesselId: row.vesselId,
      packagedLotId: row.packagedLotId,
      materialLotId: row.materialLotId,
    }),
    ...(packaged === undefined ? {} : containersOf(litres, packaged.nominalLitres)),
    ...(countedAt === undefined ? {} : { lastCountedAt: countedAt.toISOString() }),
    ...(litres.isZero()
      ? {}
      : {
          bookStrength: {
            value: toPlaces6HalfEven(pureAlcohol(figure.amount).dividedBy(litres).times(100)).toNumber(),
            unit: '%',
          },
        }),
    ...toFigures(figure),
    operations: operationLink({ accountId: row.id }),
  };
}

/** Sums by name and balance: each name under suspension, duty paid where there is any. */
export const inBalances = <Name extends string>(
  names: readonly Name[],
  sums: readonly StockSumRow[],
  nameOf: (row: StockSumRow) => string | null,
): { name: Name; dutyStatus: DutyStatus; figure: Figure }[] =>
  names.flatMap((name) =>
    DUTY_STATUSES.flatMap((dutyStatus) => {
      const row = sums.find((each) => nameOf(each) === name && each.dutyStatus === dutyStatus);
      return row === undefined && dutyStatus === 'paid'
        ? []
        : [{ name, dutyStatus, figure: row === undefined ? NO_FIGURE : figureOf(row) }];
    }),
  );

/** Stock by owner, the producer first; undefined where all of it is the producer's own. */
function byOwnerOf({ stock, stockSums }: ReportInput): StockOfOwner[] | undefined {
  const names = [...new Set(stock.map(({ owner }) => owner))].sort();
  const others = names.filter((owner) => owner !== OWN);
  if (others.length === 0) {
    return undefined;
  }
  const figuresOf = (owner: string) =>
    toFigures(figureBy(stockSums, (row) => row.level === 'owner' && row.owner === owner));
  return [figuresOf(OWN), ...others.map((owner) => ({ owner, ...figuresOf(owner) }))];
}

/** Stock at the end of the period. */
export function stockPart(input: ReportInput): ReportStock {
  const { stock, stockSums, names, lastCounted } = input;
  const byOwner = byOwnerOf(input);
  const sumsOf = grouped(
    stockSums.filter(({ level }) => level === 'account'),
    ({ accountId }) => accountId,
  );
  return {
    byStage: inBalances(STAGES, stockSums, ({ level, stage }) => (level === 'stage' ? stage : null)).map(
      ({ name, dutyStatus, figure }) => ({ stage: name, dutyStatus, ...toFigures(figure) }),
    ),
    byProductionState: inBalances(STANDINGS, stockSums, ({ level, standing }) =>
      level === 'standing' ? standing : null,
    ).map(({ name, dutyStatus, figure }) => ({ productionState: name, dutyStatus, ...toFigures(figure) })),
    ...(byOwner === undefined ? {} : { byOwner }),
    items: stock.flatMap((row) => (sumsOf.get(row.id) ?? []).map((sum) => itemOf(row, sum, { names, lastCounted }))),
  };
}

/** Liquids that no finding of record has declared finished, each with its latest provisional finding or none. */
export function lotsInProcessPart({ stock, stockSums, names, findings }: ReportInput): LotInProcess[] {
  const findingsOf = grouped(findings, ({ compositionId }) => compositionId);
  return stock.flatMap((row) => {
    const composition = names.compositions.get(row.compositionId ?? '');
    const own = findingsOf.get(row.compositionId ?? '') ?? [];
    if (row.kind !== 'liquid' || composition === undefined || ofRecordOf(own) !== undefined) {
      return [];
    }
    const latest = latestProvisionalOf(own);
    const finding: LotFinding | undefined = latest && {
      id: latest.id,
      methodId: latest.methodId,
      strength: { value: latest.strengthPercent, unit: '%' },
      expandedUncertainty: { value: latest.expandedUncertainty, unit: '%' },
      sampledAt: latest.sampledAt.toISOString(),
    };
    return [
      {
        lotId: composition.lotId,
        lotCode: composition.lotCode,
        compositionId: composition.id,
        standing: finding === undefined ? ('none' as const) : ('provisional' as const),
        ...(finding === undefined ? {} : { finding }),
        ...toFigures(figureBy(stockSums, ({ level, accountId }) => level === 'account' && accountId === row.id)),
      },
    ];
  });
}
