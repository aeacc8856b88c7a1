import { Injectable } from '@nestjs/common';
import { Exact } from '../../metrology/decimals.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { amount, NOTHING } from './amount.js';
import { NO_COMPONENTS } from './components.js';
import type { StockAccount } from './stock.reader.js';

interface MomentRow {
  id: string;
  litres: string;
  fermented: string;
  added: string;
  components: [string, string, string][] | null;
}

/** Reads what stood on accounts at a moment, from the postings up to it. */
@Injectable()
export class MomentReader {
  /** The same accounts with balance and components as they were after everything dated at or before the moment; versions are those of now. */
  async asOf(tx: Tx, producerId: string, accounts: readonly StockAccount[], at: Date): Promise<StockAccount[]> {
    const rows = await tx.$queryRaw<MomentRow[]>`
      SELECT a.id, coalesce(sum(p.litres), 0)::text AS litres, coalesce(sum(p.lpa_fermented), 0)::text AS fermented,
             coalesce(sum(p.lpa_added), 0)::text AS added,
             (SELECT jsonb_agg(jsonb_build_array(s.origin, s.l::text, s.a::text))
                FROM (SELECT c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                        FROM posting q JOIN posting_component c
                          ON c.producer_id = q.producer_id AND c.operation_sequence = q.operation_sequence AND c.line = q.line
                       WHERE q.producer_id = a.producer_id AND q.account_id = a.id AND q.occurred_at <= ${at}::timestamptz
                       GROUP BY c.origin HAVING sum(c.c_litres) <> 0 OR sum(c.c_lpa) <> 0) s) AS components
        FROM account a LEFT JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id AND p.occurred_at <= ${at}::timestamptz
       WHERE a.producer_id = ${producerId}::uuid AND a.id = ANY (${accounts.map(({ id }) => id)}::uuid[])
       GROUP BY a.producer_id, a.id`;
    const byId = new Map(rows.map((row) => [row.id, row]));
    return accounts.map((account) => {
      const row = byId.get(account.id);
      return row === undefined
        ? { ...account, balance: NOTHING, components: NO_COMPONENTS }
        : {
            ...account,
            balance: amount(row.litres, row.fermented, row.added),
            components: new Map(
              (row.components ?? []).map(([origin, litres, lpa]) => [
                origin,
                { litres: new Exact(litres), lpa: new Exact(lpa) },
              ]),
            ),
          };
    });
  }
}
