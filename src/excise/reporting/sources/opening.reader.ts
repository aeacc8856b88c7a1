import { Injectable } from '@nestjs/common';
import type { DutyStatus } from '../../../ledger/books/account.js';
import { statusKey } from '../../../ledger/figures/by-status.js';
import type { Figure } from '../../../ledger/figures/figure.js';
import { figureOf, figureFrom, NO_FIGURE } from '../../../ledger/figures/figure.js';
import { StockAtReader } from '../../../ledger/figures/stock-at.reader.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../../ledger/periods/period.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { frozenReport } from '../documents/frozen-report.js';
import type { PeriodReport } from '../documents/report.dto.js';
import type { Opening } from './report-input.js';

const statusOf = (dutyStatus: string): DutyStatus => (dutyStatus === 'paid' ? 'paid' : 'suspended');

/** Opening of the period after a frozen report. */
export const openingAfter = (frozen: PeriodReport, periodId: string, reportHash: string): Opening => ({
  source: 'frozen-report',
  periodId,
  reportHash,
  total: figureFrom(frozen.closing),
  byStatus: new Map(frozen.balances.map(({ dutyStatus, closing }) => [statusOf(dutyStatus), figureFrom(closing)])),
  byCategory: new Map(
    frozen.categories.map(({ category, dutyStatus, closing }) => [
      statusKey(category, dutyStatus),
      figureFrom(closing),
    ]),
  ),
  byStage: new Map(frozen.stock.byStage.map((row) => [statusKey(row.stage, row.dutyStatus), figureFrom(row)])),
});

/** Reads what stood in stock when a period began: from the frozen report before it where there is one. */
@Injectable()
export class OpeningReader {
  constructor(
    private readonly periods: PeriodReader,
    private readonly stockAt: StockAtReader,
  ) {}

  async of(tx: Tx, producerId: string, period: PeriodRow): Promise<Opening> {
    const before = await this.periods.before(tx, producerId, period);
    if (before === undefined) {
      return { source: 'first-period', ...(await this.#stood(tx, producerId, period, period.endsAt)) };
    }
    const bytes = await this.periods.reportBytes(tx, producerId, before.id);
    if (bytes === undefined || before.reportHash === null) {
      return { source: 'open-period', periodId: before.id, ...(await this.#stood(tx, producerId, period)) };
    }
    return openingAfter(frozenReport(bytes), before.id, before.reportHash);
  }

  /** Stock at the start of the period by the stock accounts, with opening stock that was entered before the given moment. */
  async #stood(
    tx: Tx,
    producerId: string,
    { premisesId, startsAt }: PeriodRow,
    openingsBefore = startsAt,
  ): Promise<Pick<Opening, 'total' | 'byStatus' | 'byCategory' | 'byStage'>> {
    const moments = [{ premisesId, at: startsAt, openingsBefore }];
    const accounts = await this.stockAt.accounts(tx, producerId, moments);
    const ids = accounts.map(({ id }) => id);
    const sums = await this.stockAt.sums(tx, producerId, moments, ids, []);
    const of = (wanted: 'category' | 'stage'): Map<string, Figure> =>
      new Map(
        sums
          .filter(({ level }) => level === wanted)
          .map((row) => [statusKey(row[wanted] ?? '', row.dutyStatus ?? ''), figureOf(row)]),
      );
    const total = sums.find(({ level }) => level === 'total');
    return {
      total: total === undefined ? NO_FIGURE : figureOf(total),
      byStatus: new Map(
        sums.flatMap((row) =>
          row.level === 'duty-status' && row.dutyStatus !== null ? [[row.dutyStatus, figureOf(row)]] : [],
        ),
      ),
      byCategory: of('category'),
      byStage: of('stage'),
    };
  }
}
