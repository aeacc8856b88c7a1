import { Injectable } from '@nestjs/common';
import type { Amount } from '../../ledger/books/amount.js';
import { amount } from '../../ledger/books/amount.js';
import type { Components } from '../../ledger/books/components.js';
import { Exact } from '../../metrology/decimals.js';
import type { Tx } from '../../tenancy/door/door.js';

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

/** Ways out from which goods can come back. */
const RETURNABLE = ['released', 'dispatched-suspended', 'exported', 'returned'];

/** Reads what of a packaged lot is out. */
@Injectable()
export class GoneReader {
  /** Released, dispatched and exported less returned, by the postings up to a moment; corrections of those in closed periods too. */
  async of(tx: Tx, producerId: string, packagedLotId: string, at: Date): Promise<Gone> {
    const [row] = await tx.$queryRaw<GoneRow[]>`
      WITH line AS (
        SELECT p.producer_id, p.operation_sequence, p.line, p.litres, p.lpa_fermented, p.lpa_added
          FROM account s
          JOIN posting g ON g.producer_id = s.producer_id AND g.account_id = s.id AND g.occurred_at <= ${at}::timestamptz
          JOIN posting p ON p.producer_id = g.producer_id AND p.operation_sequence = g.operation_sequence AND p.packaged_lot_id = s.packaged_lot_id
          JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'nominal'
          JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
         WHERE s.producer_id = ${producerId}::uuid AND s.packaged_lot_id = ${packagedLotId}::uuid AND s.side = 'stock'
           AND (a.kind = ANY (${RETURNABLE}) OR (a.kind = 'earlier-period' AND EXISTS (
             SELECT 1 FROM posting x JOIN account y ON y.producer_id = x.producer_id AND y.id = x.account_id
              WHERE x.producer_id = o.producer_id AND x.operation_id = o.corrects AND y.kind = ANY (${RETURNABLE}))))
         GROUP BY p.producer_id, p.operation_sequence, p.line, p.litres, p.lpa_fermented, p.lpa_added)
      SELECT coalesce(sum(litres), 0)::text AS litres, coalesce(sum(lpa_fermented), 0)::text AS fermented, coalesce(sum(lpa_added), 0)::text AS added,
             (SELECT jsonb_agg(jsonb_build_array(s.origin, s.l::text, s.a::text))
                FROM (SELECT c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                        FROM line n JOIN posting_component c
                          ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
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
