import { Injectable } from '@nestjs/common';
import { Exact } from '../../metrology/decimals.js';
import type { ReadVersion } from '../../tenancy/producer-database/batch.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../generated/prisma/client.js';
import type { AccountKey, DutyStatus, Stage } from './account.js';
import type { Amount } from './amount.js';
import { amount } from './amount.js';
import type { Components } from './components.js';

/** A stock account with its balance and the components of its uncertainty. */
export interface StockAccount {
  readonly id: string;
  readonly account: AccountKey;
  readonly balance: Amount;
  readonly version: bigint;
  readonly components: Components;
  readonly lastOccurredAt: Date;
  readonly lastFixedAt: Date | undefined;
}

interface StockRow {
  id: string;
  kind: string;
  premises_id: string;
  owner: string;
  duty_status: DutyStatus;
  stage: Stage | null;
  composition_id: string | null;
  vessel_id: string | null;
  material_lot_id: string | null;
  packaged_lot_id: string | null;
  transit_id: string | null;
  litres: string;
  lpa_fermented: string;
  lpa_added: string;
  version: bigint;
  last_occurred_at: Date;
  last_fixed_at: Date | null;
  components: [string, string, string][] | null;
}

const given = (value: string | null): string | undefined => value ?? undefined;

const stockAccount = (row: StockRow): StockAccount => ({
  id: row.id,
  account: {
    side: 'stock',
    kind: row.kind,
    premisesId: row.premises_id,
    owner: row.owner,
    dutyStatus: row.duty_status,
    stage: row.stage ?? undefined,
    compositionId: given(row.composition_id),
    vesselId: given(row.vessel_id),
    materialLotId: given(row.material_lot_id),
    packagedLotId: given(row.packaged_lot_id),
    transitId: given(row.transit_id),
  },
  balance: amount(row.litres, row.lpa_fermented, row.lpa_added),
  version: row.version,
  components: new Map(
    (row.components ?? []).map(([origin, litres, lpa]) => [origin, { litres: new Exact(litres), lpa: new Exact(lpa) }]),
  ),
  lastOccurredAt: row.last_occurred_at,
  lastFixedAt: row.last_fixed_at ?? undefined,
});

/** Versions of the accounts that a plan has read. */
export const readsOf = (...accounts: readonly StockAccount[]): ReadVersion[] =>
  accounts.map(({ id, version }) => ({ account: id, version }));

/** Reads stock accounts with balance, version and components. */
@Injectable()
export class StockReader {
  ofCompositions(tx: Tx, producerId: string, ids: readonly string[]): Promise<StockAccount[]> {
    return this.#where(tx, producerId, Prisma.sql`a.composition_id = ANY (${ids}::uuid[])`);
  }

  ofVessel(tx: Tx, producerId: string, vesselId: string): Promise<StockAccount[]> {
    return this.#where(tx, producerId, Prisma.sql`a.vessel_id = ${vesselId}::uuid AND b.litres > 0`);
  }

  ofPackagedLots(tx: Tx, producerId: string, ids: readonly string[]): Promise<StockAccount[]> {
    return this.#where(tx, producerId, Prisma.sql`a.packaged_lot_id = ANY (${ids}::uuid[])`);
  }

  ofMaterialLots(tx: Tx, producerId: string, ids: readonly string[]): Promise<StockAccount[]> {
    return this.#where(tx, producerId, Prisma.sql`a.material_lot_id = ANY (${ids}::uuid[])`);
  }

  /** Accounts of a consignment in transit between premises. */
  ofTransit(tx: Tx, producerId: string, id: string): Promise<StockAccount[]> {
    return this.#where(tx, producerId, Prisma.sql`a.transit_id = ${id}::uuid`);
  }

  ofIds(tx: Tx, producerId: string, ids: readonly string[]): Promise<StockAccount[]> {
    return this.#where(tx, producerId, Prisma.sql`a.id = ANY (${ids}::uuid[])`);
  }

  async #where(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<StockAccount[]> {
    const rows = await tx.$queryRaw<StockRow[]>`
      SELECT a.id, a.kind, a.premises_id, a.owner, a.duty_status, a.stage, a.composition_id, a.vessel_id, a.material_lot_id, a.packaged_lot_id, a.transit_id,
             b.litres::text, b.lpa_fermented::text, b.lpa_added::text, b.version, b.last_occurred_at, b.last_fixed_at,
             (SELECT jsonb_agg(jsonb_build_array(s.origin, s.l::text, s.a::text))
                FROM (SELECT c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                        FROM posting p JOIN posting_component c
                          ON c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line
                       WHERE p.producer_id = a.producer_id AND p.account_id = a.id
                       GROUP BY c.origin HAVING sum(c.c_litres) <> 0 OR sum(c.c_lpa) <> 0) s) AS components
        FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock' AND ${condition}
       ORDER BY a.key`;
    return rows.map(stockAccount);
  }
}
