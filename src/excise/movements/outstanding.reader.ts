import { Injectable } from '@nestjs/common';
import type { Amount } from '../../ledger/books/amount.js';
import { amount } from '../../ledger/books/amount.js';
import type { Components } from '../../ledger/books/components.js';
import { Exact } from '../../metrology/decimals.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';

/** What of a packaged lot has left and has not come back. */
export interface Gone {
  readonly balance: Amount;
  readonly components: Components;
}

interface GoneRow {
  litres: string;
  fermented: string;
  added: string;
  components: [string, string, string][] | null;
}

/** Reads what of a packaged lot is out. */
@Injectable()
export class OutstandingReader {
  /** Released, dispatched and exported less returned, by the postings up to a moment; corrections of those in closed periods too. */
  async of(tx: Tx, producerId: string, packagedLotId: string, at: Date): Promise<Gone> {
    const [row] = await tx.$queryRaw<GoneRow[]>`
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
