import { Injectable } from '@nestjs/common';
import { Prisma } from '../../generated/prisma/client.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { DutyStatus } from '../books/account.js';
import { COVERAGE_FACTOR } from './figure.js';
import type { FigureRow } from './figure.js';
import type { PremisesMoment } from './span.js';
import { momentTable, stoodAt } from './span.js';

/** A stock account as its balance says that it stood at a moment. */
export interface StockAtRow {
  readonly id: string;
  readonly key: string;
  readonly kind: string;
  readonly premisesId: string;
  readonly owner: string;
  readonly dutyStatus: DutyStatus;
  readonly stage: string | null;
  readonly compositionId: string | null;
  readonly vesselId: string | null;
  readonly materialLotId: string | null;
  readonly packagedLotId: string | null;
  readonly litres: string;
  readonly fermented: string;
  readonly added: string;
}

export type StockStanding = 'material' | 'in-process' | 'finished';

/** A sum over stock accounts; which of the columns is set says what it is a sum by. */
export interface StockSumRow extends FigureRow {
  readonly level: 'account' | 'category' | 'stage' | 'standing' | 'premises' | 'owner' | 'duty-status' | 'total';
  readonly accountId: string | null;
  readonly category: string | null;
  readonly stage: string | null;
  readonly standing: StockStanding | null;
  readonly premisesId: string | null;
  readonly owner: string | null;
  /** Of an account, a category, a stage, a standing and of itself; null: both together. */
  readonly dutyStatus: DutyStatus | null;
}

const LEVEL = Prisma.sql`grouping(account_id, category, stage, standing, premises_id, owner, duty_status)`;

/** Stock of premises at a moment of each. Found in two independent ways: balances less later postings, and the sum of the postings. */
@Injectable()
export class StockAtReader {
  /** Accounts that held anything: present balance less what was posted at the moment and after it. */
  accounts(tx: Tx, producerId: string, moments: readonly PremisesMoment[]): Promise<StockAtRow[]> {
    return tx.$queryRaw<StockAtRow[]>`
      WITH later AS (
        SELECT p.account_id, sum(p.litres) AS l, sum(p.lpa_fermented) AS f, sum(p.lpa_added) AS a
          FROM posting p JOIN account x ON x.producer_id = p.producer_id AND x.id = p.account_id
          JOIN ${momentTable(moments)} ON moment.premises_id = x.premises_id
         WHERE p.producer_id = ${producerId}::uuid AND x.side = 'stock' AND NOT ${stoodAt}
         GROUP BY p.account_id),
      stood AS (
        SELECT a.*, b.litres - coalesce(z.l, 0) AS l, b.lpa_fermented - coalesce(z.f, 0) AS f, b.lpa_added - coalesce(z.a, 0) AS ad
          FROM ${momentTable(moments)} JOIN account a ON a.premises_id = moment.premises_id
          JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id LEFT JOIN later z ON z.account_id = a.id
         WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock')
      SELECT id, key, kind, premises_id AS "premisesId", owner, duty_status AS "dutyStatus", stage, composition_id AS "compositionId",
             vessel_id AS "vesselId", material_lot_id AS "materialLotId", packaged_lot_id AS "packagedLotId", l::text AS litres, f::text AS fermented,
             ad::text AS added
        FROM stood WHERE l <> 0 OR f <> 0 OR ad <> 0
       ORDER BY key COLLATE "C"`;
  }

  /**
   * Sums of the postings before the moments on these accounts: by account and category, category, stage and standing (each by duty status), premises, owner, duty status, and in all.
   *
   * @param finished compositions that a finding of record has declared finished
   */
  sums(
    tx: Tx,
    producerId: string,
    moments: readonly PremisesMoment[],
    accounts: readonly string[],
    finished: readonly string[],
  ): Promise<StockSumRow[]> {
    return tx.$queryRaw<StockSumRow[]>`
      WITH line AS MATERIALIZED (
        SELECT p.producer_id, p.operation_sequence, p.line, p.account_id, coalesce(p.category, '') AS category, coalesce(a.stage, '') AS stage,
               CASE WHEN a.kind = 'material' THEN 'material'
                    WHEN a.kind IN ('packaged', 'in-transit') OR a.composition_id = ANY (${[...finished]}::uuid[]) THEN 'finished' ELSE 'in-process' END AS standing,
               a.premises_id, a.owner, a.duty_status, p.litres, p.lpa_fermented, p.lpa_added
          FROM ${momentTable(moments)} JOIN account a ON a.premises_id = moment.premises_id
          JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
         WHERE a.producer_id = ${producerId}::uuid AND a.id = ANY (${[...accounts]}::uuid[]) AND ${stoodAt}),
      sums AS (
        SELECT account_id, category, stage, standing, premises_id, owner, duty_status, ${LEVEL} AS level,
               sum(litres) AS l, sum(lpa_fermented) AS f, sum(lpa_added) AS a
          FROM line GROUP BY GROUPING SETS ((account_id, category, duty_status), (category, duty_status), (stage, duty_status), (standing, duty_status), (premises_id), (owner),
                                          (duty_status), ())),
      origins AS (
        SELECT n.account_id, n.category, n.stage, n.standing, n.premises_id, n.owner, n.duty_status, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
          FROM line n JOIN posting_component c ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
         GROUP BY n.account_id, n.category, n.stage, n.standing, n.premises_id, n.owner, n.duty_status, c.origin),
      vectors AS (
        SELECT account_id, category, stage, standing, premises_id, owner, duty_status, ${LEVEL} AS level,
               origin, sum(l) AS l, sum(a) AS a
          FROM origins
         GROUP BY GROUPING SETS ((account_id, category, duty_status, origin), (category, duty_status, origin), (stage, duty_status, origin),
                                 (standing, duty_status, origin), (premises_id, origin), (owner, origin), (duty_status, origin), (origin))),
      uncertainty AS (
        SELECT account_id, category, stage, standing, premises_id, owner, duty_status, level, sqrt(sum(l * l)) AS l, sqrt(sum(a * a)) AS a
          FROM vectors GROUP BY account_id, category, stage, standing, premises_id, owner, duty_status, level)
      SELECT CASE WHEN s.account_id IS NOT NULL THEN 'account' WHEN s.category IS NOT NULL THEN 'category' WHEN s.stage IS NOT NULL THEN 'stage'
                  WHEN s.standing IS NOT NULL THEN 'standing' WHEN s.premises_id IS NOT NULL THEN 'premises' WHEN s.owner IS NOT NULL THEN 'owner'
                  WHEN s.duty_status IS NOT NULL THEN 'duty-status' ELSE 'total' END AS level,
             s.account_id AS "accountId", s.category, s.stage, s.standing, s.premises_id AS "premisesId", s.owner, s.duty_status AS "dutyStatus", coalesce(s.l, 0)::text AS litres,
             coalesce(s.f, 0)::text AS fermented, coalesce(s.a, 0)::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM sums s LEFT JOIN uncertainty u ON u.level = s.level AND u.account_id IS NOT DISTINCT FROM s.account_id
             AND u.category IS NOT DISTINCT FROM s.category AND u.stage IS NOT DISTINCT FROM s.stage AND u.standing IS NOT DISTINCT FROM s.standing
             AND u.premises_id IS NOT DISTINCT FROM s.premises_id AND u.owner IS NOT DISTINCT FROM s.owner AND u.duty_status IS NOT DISTINCT FROM s.duty_status
       ORDER BY s.level, s.category COLLATE "C", s.stage COLLATE "C", s.standing COLLATE "C", s.account_id, s.premises_id, s.owner COLLATE "C", s.duty_status COLLATE "C" DESC NULLS FIRST`;
  }
}
