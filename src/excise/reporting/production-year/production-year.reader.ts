import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import { COVERAGE_FACTOR } from '../../../ledger/figures/figure.js';
import type { Head } from '../../../ledger/books/head.js';
import { headOf } from '../../../ledger/books/head.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { SettingsInForce } from '../../../tenancy/producers/producers.dto.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import type { ReportProducer } from '../documents/report-head.dto.js';
import { headProducer } from '../sources/report-head.js';
import type { YearDays } from './year-days.js';
import { lastMonths, yearDays } from './year-days.js';

/** Production of a month, a category and an owner, L as decimal texts. */
export interface ProductionRow {
  /** First day of the month, local to the premises. */
  readonly month: string;
  readonly category: string;
  readonly owner: string;
  readonly litres: string;
  readonly lpa: string;
}

/** Expanded uncertainties (95 %), L as decimal texts. */
export interface ProductionUncertainty {
  readonly litres: string;
  readonly lpa: string;
}

/** The books of a year as its production is counted from them. */
export interface ProductionInput {
  readonly producer: ReportProducer;
  readonly settings: SettingsInForce;
  readonly year: YearDays;
  readonly rows: readonly ProductionRow[];
  readonly uncertainty: ProductionUncertainty;
  /** Whole months before the present one that the estimate rests on. */
  readonly last: {
    readonly days: YearDays;
    readonly rows: readonly ProductionRow[];
    readonly booksFrom: string | null;
  };
  readonly head: Head;
}

type Basis = 'produced' | 'packaged';

/** Postings that count; a reversal or difference of a run counts with it. */
const POSTINGS: Readonly<Record<Basis, Prisma.Sql>> = {
  produced: Prisma.sql`a.side = 'nominal' AND a.kind IN ('produced', 're-measurement')`,
  packaged: Prisma.sql`a.side = 'stock' AND a.kind = 'packaged' AND EXISTS (
    SELECT FROM operation o LEFT JOIN operation r ON r.producer_id = o.producer_id AND r.id = o.reverses
      LEFT JOIN operation d ON d.producer_id = o.producer_id AND d.id = CASE 'difference' WHEN o.kind THEN o.corrects WHEN r.kind THEN r.corrects END
     WHERE o.producer_id = p.producer_id AND o.sequence = p.operation_sequence AND coalesce(d.kind, r.kind, o.kind) = 'packaging')`,
};

/** Sign by which a posting is production: nominal accounts give it. */
const SIGN: Readonly<Record<Basis, number>> = { produced: -1, packaged: 1 };

/** Reads production by month. Set-based: the number of queries does not grow with the books. */
@Injectable()
export class ProductionYearReader {
  constructor(private readonly settings: SettingsReader) {}

  async input(tx: Tx, ctx: RequestContext, asked: number | undefined, now: Date): Promise<ProductionInput> {
    const { producerId } = ctx;
    const settings = await this.settings.of(tx, producerId);
    const year = yearDays(asked, settings.productionYear?.firstMonth, now);
    const days = lastMonths(now);
    return {
      producer: headProducer(ctx, settings),
      settings,
      year,
      rows: await this.#rows(tx, producerId, settings, year),
      uncertainty: await this.#uncertainty(tx, producerId, settings, year),
      last: {
        days,
        rows: await this.#rows(tx, producerId, settings, days),
        booksFrom: await this.#booksFrom(tx, producerId),
      },
      head: await headOf(tx, producerId),
    };
  }

  #rows(tx: Tx, producerId: string, settings: SettingsInForce, days: YearDays): Promise<ProductionRow[]> {
    const sign = SIGN[basisOf(settings)];
    return tx.$queryRaw<ProductionRow[]>`
      SELECT date_trunc('month', p.occurred_at AT TIME ZONE s.time_zone)::date::text AS month, coalesce(p.category, '') AS category, a.owner,
             (${sign}::int * sum(p.litres))::text AS litres, (${sign}::int * sum(p.lpa_fermented + p.lpa_added))::text AS lpa
        ${counted(producerId, settings, days)}
       GROUP BY 1, 2, 3 ORDER BY 1, 2, 3`;
  }

  async #uncertainty(
    tx: Tx,
    producerId: string,
    settings: SettingsInForce,
    days: YearDays,
  ): Promise<ProductionUncertainty> {
    const rows = await tx.$queryRaw<ProductionUncertainty[]>`
      SELECT round(${COVERAGE_FACTOR}::numeric * coalesce(sqrt(sum(v.l * v.l)), 0), 6)::text AS litres,
             round(${COVERAGE_FACTOR}::numeric * coalesce(sqrt(sum(v.a * v.a)), 0), 6)::text AS lpa
        FROM (SELECT c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                FROM (SELECT p.operation_sequence, p.line ${counted(producerId, settings, days)}) n
                JOIN posting_component c ON c.producer_id = ${producerId}::uuid AND c.operation_sequence = n.operation_sequence AND c.line = n.line
               GROUP BY c.origin) v`;
    return rows[0];
  }

  async #booksFrom(tx: Tx, producerId: string): Promise<string | null> {
    const rows = await tx.$queryRaw<{ day: string | null }[]>`
      SELECT min(starts_on)::text AS day FROM period p WHERE p.producer_id = ${producerId}::uuid
         AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id)`;
    return rows[0].day;
  }
}

export const basisOf = ({ productionYear }: SettingsInForce): Basis => productionYear?.basis ?? 'produced';

/** Postings of production in the local days of each of the premises. */
const counted = (
  producerId: string,
  settings: SettingsInForce,
  { startsOn, endsBefore }: YearDays,
): Prisma.Sql => Prisma.sql`
  FROM premises s JOIN account a ON a.producer_id = s.producer_id AND a.premises_id = s.id
  JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
 WHERE s.producer_id = ${producerId}::uuid AND ${POSTINGS[basisOf(settings)]}
   AND p.occurred_at >= ${startsOn}::date::timestamp AT TIME ZONE s.time_zone
   AND p.occurred_at < ${endsBefore}::date::timestamp AT TIME ZONE s.time_zone
   AND (${settings.productionYear?.categories ?? null}::text[] IS NULL
        OR coalesce(p.category, '') = ANY (${settings.productionYear?.categories ?? null}::text[]))`;
