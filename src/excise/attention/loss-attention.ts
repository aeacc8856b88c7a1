import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { LossSeries } from '../reporting/documents/loss-sums.dto.js';
import { signalsOf } from '../reporting/parts/loss-sums-part.js';
import type { AttentionItem } from './attention.dto.js';

interface LastReportRow {
  readonly periodId: string;
  readonly premisesId: string;
  readonly premisesName: string;
  readonly endsAt: Date;
  readonly series: readonly LossSeries[] | null;
}

/** Finds categories whose losses over the periods are more than measuring scatter, by the last closed report of each premises. */
@Injectable()
export class LossAttention {
  async items(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const rows = await tx.$queryRaw<LastReportRow[]>`
      SELECT DISTINCT ON (p.premises_id) p.id AS "periodId", p.premises_id AS "premisesId", s.name AS "premisesName", p.ends_at AS "endsAt",
             r.bytes::jsonb #> '{lossesOverPeriods,series}' AS series
        FROM report r JOIN period p ON p.producer_id = r.producer_id AND p.id = r.period_id
        JOIN premises s ON s.producer_id = p.producer_id AND s.id = p.premises_id
       WHERE r.producer_id = ${producerId}::uuid AND s.retired_at IS NULL
       ORDER BY p.premises_id, p.starts_at DESC`;
    return rows.flatMap(({ series, premisesId, premisesName, periodId, endsAt }) =>
      signalsOf(series ?? []).map((detail) => ({
        code: 'losses-over-periods' as const,
        detail: `${premisesName}: ${detail}`,
        settle:
          'Enter what is found. The sum starts again; this leaves the list when the next period is closed without it.',
        links: [`/v1/periods/${periodId}/report`],
        at: endsAt.toISOString(),
        premisesId,
      })),
    );
  }
}
