import { Injectable } from '@nestjs/common';
import { Exact } from '../../../metrology/decimals.js';
import type { Span } from '../../../ledger/figures/span.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { GaugedVolume } from './gauge-difference.js';
import { isUnusual } from './gauge-difference.js';

/** A gauge whose difference from the books is not usual. */
export interface GaugeDifference extends GaugedVolume {
  readonly operationId: string;
  readonly occurredAt: Date;
  readonly vesselName: string;
  readonly lotCode: string;
  readonly reasonCode: string | null;
}

interface Row extends Omit<GaugeDifference, 'bookLitres' | 'foundLitres'> {
  bookLitres: string;
  foundLitres: string;
}

/** Reads gauges that found much more or much less than the books had. */
@Injectable()
export class GaugeDifferencesReader {
  /** @param usualPercent share of the book figure up to which a difference is usual */
  async of(tx: Tx, producerId: string, span: Span, usualPercent: number): Promise<GaugeDifference[]> {
    const rows = await tx.$queryRaw<Row[]>`
      SELECT g.operation_id AS "operationId", o.occurred_at AS "occurredAt", v.name AS "vesselName", l.code AS "lotCode", o.reason_code AS "reasonCode",
             g.book_litres::text AS "bookLitres", g.found_litres::text AS "foundLitres", g.standard_uncertainty::float8 AS "standardUncertaintyL"
        FROM operation o
        JOIN gauge g ON g.producer_id = o.producer_id AND g.operation_id = o.id
        JOIN vessel v ON v.producer_id = g.producer_id AND v.id = g.vessel_id
        JOIN lot l ON l.producer_id = o.producer_id AND l.id = o.lot_id
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${span.premisesId}::uuid
         AND o.occurred_at >= ${span.startsAt} AND o.occurred_at < ${span.endsAt} AND NOT is_reversed(o.producer_id, o.id)
       ORDER BY o.occurred_at, o.sequence`;
    return rows
      .map((row) => ({ ...row, bookLitres: new Exact(row.bookLitres), foundLitres: new Exact(row.foundLitres) }))
      .filter((gauged) => isUnusual(gauged, usualPercent));
  }
}
