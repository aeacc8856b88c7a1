import { Injectable } from '@nestjs/common';
import type { Amount } from '../../ledger/books/amount.js';
import { amount } from '../../ledger/books/amount.js';
import type { Components } from '../../ledger/books/components.js';
import { Exact } from '../../metrology/decimals.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';

/** Goods of a packaged lot that went out and have not come back. */
export interface Outstanding {
  readonly balance: Amount;
  readonly components: Components;
}

interface OutstandingRow {
  litres: string;
  fermented: string;
  added: string;
  components: [string, string, string][] | null;
}

/** Reads the goods of a packaged lot that are outstanding. */
@Injectable()
export class OutstandingReader {
  /** Released, dispatched and exported less returned, by the postings up to a moment. Corrections of those in closed periods count too. */
  async of(tx: Tx, producerId: string, packagedLotId: string, at: Date): Promise<Outstanding> {
    const [row] = await tx.$queryRaw<OutstandingRow[]>`
      WITH line AS (SELECT * FROM out_lines(${producerId}::uuid, ${packagedLotId}::uuid) WHERE occurred_at <= ${at}::timestamptz)
      SELECT coalesce(sum(litres), 0)::text AS litres, coalesce(sum(lpa_fermented), 0)::text AS fermented, coalesce(sum(lpa_added), 0)::text AS added,
             (SELECT jsonb_agg(jsonb_build_array(s.origin, s.l::text, s.a::text))
                FROM (SELECT c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                        FROM line n JOIN posting_component c
                          ON c.producer_id = ${producerId}::uuid AND c.operation_sequence = n.operation_sequence AND c.line = n.line
                       GROUP BY c.origin HAVING sum(c.c_litres) <> 0 OR sum(c.c_lpa) <> 0) s) AS components
        FROM line`;
    return {
      balance: amount(row.litres, row.fermented, row.added),
      components: new Map(
        (row.components ?? []).map(([origin, litres, lpa]) => [
          origin,
          { litres: new Exact(litres), lpa: new Exact(lpa) },
        ]),
      ),
    };
  }
}
