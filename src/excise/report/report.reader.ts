import { Injectable } from '@nestjs/common';
import { headOf } from '../../ledger/books/head.js';
import type { Span } from '../../ledger/figures/flow.reader.js';
import { FlowReader } from '../../ledger/figures/flow.reader.js';
import type { Figure } from '../../ledger/figures/figure.js';
import { figureOf, figureOfWire, NO_FIGURE } from '../../ledger/figures/figure.js';
import { StockAtReader } from '../../ledger/figures/stock-at.reader.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import type { FindingRow } from '../../production/findings/finding.reader.js';
import { FindingReader, ofRecordOf } from '../../production/findings/finding.reader.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import type { Tx } from '../../tenancy/door/door.js';
import { DUTY_POINT_KINDS } from '../movements/movement-kinds.js';
import { MovementReader } from '../movements/movement.reader.js';
import { RuleSetReader } from '../rules/rule-set.reader.js';
import { grouped } from './grouped.js';
import { LISTED_LINES } from './losses.js';
import type { NamedVersion } from './report-head.dto.js';
import type { PeriodReport } from './report.dto.js';
import type { Opening, ReportInput } from './report-input.js';
import { StockNamesReader } from './stock-names.reader.js';
import { StockTakeReader } from '../stock-takes/stock-take.reader.js';
import { TurnoverReader } from './turnover.reader.js';

/** Reads what a report is made of. Set-based: the number of queries does not grow with the postings. */
@Injectable()
export class ReportReader {
  constructor(
    private readonly flows: FlowReader,
    private readonly stockAt: StockAtReader,
    private readonly periods: PeriodReader,
    private readonly movements: MovementReader,
    private readonly findings: FindingReader,
    private readonly stockNames: StockNamesReader,
    private readonly ruleSets: RuleSetReader,
    private readonly turnover: TurnoverReader,
    private readonly stockTakes: StockTakeReader,
  ) {}

  async input(tx: Tx, ctx: RequestContext, period: PeriodRow, status: ReportInput['status']): Promise<ReportInput> {
    const { producerId } = ctx;
    const span: Span = period;
    const premises = await tx.premises.findFirstOrThrow({ where: { producerId, id: period.premisesId } });
    const stock = await this.stockAt.accounts(tx, producerId, period.premisesId, period.endsAt);
    const movements = await this.movements.ofSpan(tx, producerId, span, DUTY_POINT_KINDS);
    const findings = await this.#findingsOf(tx, producerId, period, [...stock, ...movements]);
    const packaged = movements.map(({ packagedLotId }) => packagedLotId);
    return {
      status,
      producer: { id: producerId, name: ctx.producerName, simulated: ctx.simulated },
      premises: { id: premises.id, name: premises.name },
      period,
      opening: await this.#opening(tx, producerId, period),
      flows: await this.flows.sums(tx, producerId, span),
      turnover: await this.turnover.sums(tx, producerId, span, period.timeZone),
      listed: await this.flows.lines(tx, producerId, span, LISTED_LINES),
      movements,
      ruleSets: await this.ruleSets.all(tx, producerId),
      stock,
      stockSums: await this.stockAt.sums(
        tx,
        producerId,
        period.endsAt,
        stock.map(({ id }) => id),
        finishedOf(findings),
      ),
      lastCounted: await this.stockTakes.lastCounted(
        tx,
        producerId,
        stock.map(({ id }) => id),
        period.endsAt,
      ),
      differences: await this.stockTakes.differences(tx, producerId, span),
      names: await this.stockNames.of(tx, producerId, stock, packaged),
      findings,
      methods: await this.#methods(tx, producerId, span),
      head: await headOf(tx, producerId),
    };
  }

  async #findingsOf(
    tx: Tx,
    producerId: string,
    period: PeriodRow,
    places: readonly { compositionId: string | null }[],
  ): Promise<FindingRow[]> {
    const ids = places.flatMap(({ compositionId }) => (compositionId === null ? [] : [compositionId]));
    const rows = await this.findings.ofCompositions(tx, producerId, [...new Set(ids)]);
    return rows.filter(({ sampledAt }) => sampledAt < period.endsAt);
  }

  async #opening(tx: Tx, producerId: string, period: PeriodRow): Promise<Opening> {
    const before = await this.periods.before(tx, producerId, period);
    if (before === undefined) {
      return { source: 'first-period', total: NO_FIGURE, byCategory: new Map() };
    }
    const bytes = await this.periods.reportBytes(tx, producerId, before.id);
    if (bytes === undefined || before.reportHash === null) {
      return { source: 'open-period', periodId: before.id, ...(await this.#stood(tx, producerId, period)) };
    }
    const frozen = JSON.parse(bytes) as PeriodReport;
    return {
      source: 'frozen-report',
      periodId: before.id,
      reportHash: before.reportHash,
      total: figureOfWire(frozen.closing),
      byCategory: new Map(frozen.categories.map(({ category, closing }) => [category, figureOfWire(closing)])),
    };
  }

  /** What the stock accounts say that stood at the period's start. */
  async #stood(
    tx: Tx,
    producerId: string,
    { premisesId, startsAt }: PeriodRow,
  ): Promise<{ total: Figure; byCategory: Map<string, Figure> }> {
    const accounts = await this.stockAt.accounts(tx, producerId, premisesId, startsAt);
    const sums = await this.stockAt.sums(
      tx,
      producerId,
      startsAt,
      accounts.map(({ id }) => id),
      [],
    );
    const total = sums.find(({ level }) => level === 'total');
    return {
      total: total === undefined ? NO_FIGURE : figureOf(total),
      byCategory: new Map(
        sums.filter(({ level }) => level === 'category').map((row) => [row.category ?? '', figureOf(row)]),
      ),
    };
  }

  /** Methods by which the strengths were found of what was posted in the span. */
  #methods(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: Span): Promise<NamedVersion[]> {
    return tx.$queryRaw<NamedVersion[]>`
      SELECT DISTINCT f.method_id COLLATE "C" AS id, f.method_version COLLATE "C" AS version
        FROM operation o
        JOIN posting p ON p.producer_id = o.producer_id AND p.operation_sequence = o.sequence
        JOIN finding f ON f.producer_id = p.producer_id AND f.composition_id = p.composition_id
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${premisesId}::uuid
         AND o.occurred_at >= ${startsAt}::timestamptz AND o.occurred_at < ${endsAt}::timestamptz AND f.sampled_at < ${endsAt}::timestamptz
       ORDER BY 1, 2`;
  }
}

const finishedOf = (findings: readonly FindingRow[]): string[] =>
  [...grouped(findings, ({ compositionId }) => compositionId)]
    .filter(([, own]) => ofRecordOf(own) !== undefined)
    .map(([id]) => id);
