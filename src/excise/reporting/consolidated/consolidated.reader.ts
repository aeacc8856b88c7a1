import { Injectable } from '@nestjs/common';
import type { Head } from '../../../ledger/books/head.js';
import { headOf } from '../../../ledger/books/head.js';
import type { FlowRow, PremisesFlowRow, StatusFlowRow } from '../../../ledger/figures/flow.reader.js';
import { FlowReader } from '../../../ledger/figures/flow.reader.js';
import type { PremisesMoment } from '../../../ledger/figures/span.js';
import type { StockAtRow, StockSumRow } from '../../../ledger/figures/stock-at.reader.js';
import { StockAtReader } from '../../../ledger/figures/stock-at.reader.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { ConsignmentRow } from '../sources/consignment.reader.js';
import { ConsignmentReader } from '../sources/consignment.reader.js';
import type { TurnoverRow } from '../sources/turnover.reader.js';
import { TurnoverReader } from '../sources/turnover.reader.js';
import type { ConsolidatedPeriods } from './span-periods.js';
import { PeriodParts } from './period-parts.js';
import type { PeriodPart } from './period-parts.js';

/** Stock of all premises at one end of the span. */
export interface StockEnd {
  readonly accounts: readonly StockAtRow[];
  readonly sums: readonly StockSumRow[];
}

/** Everything that a consolidated report is made of, read at one moment of the books. */
export interface ConsolidatedInput {
  readonly span: ConsolidatedPeriods;
  /** Reports of the periods, in the order of the periods. */
  readonly reports: readonly PeriodPart[];
  readonly flows: readonly FlowRow[];
  readonly statusFlows: readonly StatusFlowRow[];
  readonly byPremises: readonly PremisesFlowRow[];
  readonly turnover: readonly TurnoverRow[];
  readonly start: StockEnd;
  readonly end: StockEnd;
  readonly consignments: readonly ConsignmentRow[];
  readonly head: Head;
}

/** Reads the books of all premises over their spans. Set-based: the number of queries does not grow with the postings. */
@Injectable()
export class ConsolidatedReader {
  constructor(
    private readonly flows: FlowReader,
    private readonly turnover: TurnoverReader,
    private readonly stockAt: StockAtReader,
    private readonly consignments: ConsignmentReader,
    private readonly parts: PeriodParts,
  ) {}

  async input(tx: Tx, ctx: RequestContext, span: ConsolidatedPeriods): Promise<ConsolidatedInput> {
    const { producerId } = ctx;
    const spans = span.premises.flatMap(({ books }) => (books === undefined ? [] : [books]));
    const flows = await this.flows.sums(tx, producerId, spans);
    const starts = spans.map(({ premisesId, startsAt, endsAt, isFirst }): PremisesMoment => ({
      premisesId,
      at: startsAt,
      openingsBefore: isFirst === true ? endsAt : startsAt,
    }));
    const ends = spans.map(({ premisesId, endsAt }): PremisesMoment => ({ premisesId, at: endsAt }));
    return {
      span,
      reports: await this.parts.of(
        tx,
        ctx,
        span.premises.flatMap(({ periods }) => periods),
      ),
      flows: flows.flows,
      statusFlows: flows.byStatus,
      byPremises: flows.byPremises,
      turnover: await this.turnover.sums(tx, producerId, spans),
      start: await this.#stock(tx, producerId, starts),
      end: await this.#stock(tx, producerId, ends),
      consignments: await this.consignments.sums(tx, producerId, spans),
      head: await headOf(tx, producerId),
    };
  }

  async #stock(tx: Tx, producerId: string, moments: readonly PremisesMoment[]): Promise<StockEnd> {
    const accounts = await this.stockAt.accounts(tx, producerId, moments);
    const ids = accounts.map(({ id }) => id);
    return { accounts, sums: await this.stockAt.sums(tx, producerId, moments, ids, []) };
  }
}
