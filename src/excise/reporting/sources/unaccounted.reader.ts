import { Injectable } from '@nestjs/common';
import type { NominalKind } from '../../../ledger/books/account.js';
import { COVERAGE_FACTOR } from '../../../ledger/figures/figure.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../../ledger/periods/period.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { UnaccountedLoss } from '../documents/loss-sums.dto.js';

/** Lines on which what was measured meets what the books had. */
const MEASURED: readonly NominalKind[] = ['stock-difference', 're-measurement'];
/** Lines of losses that are ordinary up to a share. */
const ORDINARY: readonly NominalKind[] = ['evaporation', 'process-loss', 'packaging-loss'];

/** Sums of one category in a period, as the effect on stock, with U by origin. Decimals as texts. */
export interface UnaccountedRow {
  readonly category: string;
  readonly measuredLitres: string;
  readonly ordinaryLitres: string;
  readonly measuredExpanded: string;
  /** Of both. */
  readonly allExpanded: string;
}

/** The same by the frozen report of an earlier period. */
export interface EarlierLosses {
  readonly period: PeriodRow;
  readonly unaccounted: readonly UnaccountedLoss[];
}

export interface LossInput {
  readonly unaccounted: readonly UnaccountedRow[];
  readonly earlierLosses: readonly EarlierLosses[];
}

/** Reads what a period cannot account for, and what the frozen reports before it said of theirs. */
@Injectable()
export class UnaccountedReader {
  constructor(private readonly periods: PeriodReader) {}

  async of(tx: Tx, producerId: string, period: PeriodRow): Promise<LossInput> {
    const closed = await this.periods.closedBefore(tx, producerId, period);
    const ids = closed.map(({ id }) => id);
    const parts =
      ids.length === 0
        ? new Map<string, unknown>()
        : await this.periods.reportValues(tx, producerId, ids, ['lossesOverPeriods', 'unaccounted']);
    return {
      unaccounted: await this.#sums(tx, producerId, period),
      earlierLosses: closed.map((each) => ({
        period: each,
        unaccounted: (parts.get(each.id) ?? []) as UnaccountedLoss[],
      })),
    };
  }

  #sums(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: PeriodRow): Promise<UnaccountedRow[]> {
    return tx.$queryRaw<UnaccountedRow[]>`
      WITH line AS MATERIALIZED (
        SELECT coalesce(p.category, '') AS category, a.kind, p.producer_id, p.operation_sequence, p.line, p.litres
          FROM account a JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
         WHERE a.producer_id = ${producerId}::uuid AND a.premises_id = ${premisesId}::uuid AND a.side = 'nominal'
           AND a.kind = ANY (${[...MEASURED, ...ORDINARY]}) AND p.occurred_at >= ${startsAt}::timestamptz AND p.occurred_at < ${endsAt}::timestamptz),
      origins AS (
        SELECT n.category, c.origin, sum(c.c_litres) AS l, coalesce(sum(c.c_litres) FILTER (WHERE n.kind = ANY (${[...MEASURED]})), 0) AS m
          FROM line n JOIN posting_component c ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
         GROUP BY n.category, c.origin),
      uncertainty AS (SELECT category, sqrt(sum(l * l)) AS l, sqrt(sum(m * m)) AS m FROM origins GROUP BY category)
      SELECT n.category, coalesce(-sum(n.litres) FILTER (WHERE n.kind = ANY (${[...MEASURED]})), 0)::text AS "measuredLitres",
             coalesce(-sum(n.litres) FILTER (WHERE n.kind = ANY (${[...ORDINARY]})), 0)::text AS "ordinaryLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(min(u.m), 0), 6)::text AS "measuredExpanded",
             round(${COVERAGE_FACTOR}::numeric * coalesce(min(u.l), 0), 6)::text AS "allExpanded"
        FROM line n LEFT JOIN uncertainty u ON u.category = n.category
       GROUP BY n.category ORDER BY n.category COLLATE "C"`;
  }
}
