import { Injectable } from '@nestjs/common';
import type { Head } from '../../../ledger/books/head.js';
import { headOf } from '../../../ledger/books/head.js';
import type { OperationRow, PostingRow } from '../../../ledger/operations/operations.reader.js';
import { OperationsReader } from '../../../ledger/operations/operations.reader.js';
import { LotReader } from '../../../production/lots/lot.reader.js';
import type { LotRow } from '../../../production/lots/lots.dto.js';
import type { PackagedLotRow } from '../../../production/measuring/packed/packaged-lot.reader.js';
import { PackagedLotReader } from '../../../production/measuring/packed/packaged-lot.reader.js';
import type { PlannedVersion } from '../../../production/registers/recipes/recipe.reader.js';
import { RecipeReader } from '../../../production/registers/recipes/recipe.reader.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { NamedPremises, ReportProducer } from '../documents/report-head.dto.js';
import type { LotMeasurements } from './lot-measurements.reader.js';
import { LotMeasurementsReader } from './lot-measurements.reader.js';

export interface MovementFactRow {
  readonly operationId: string;
  readonly kind: string;
  readonly occurredAt: Date;
  readonly lotMark: string | null;
  readonly count: number | null;
  readonly litres: number;
  readonly counterparty: string | null;
  readonly reversed: boolean;
}

export interface PlanFactRow {
  readonly id: string;
  readonly kind: string;
  readonly recordedAt: Date;
  readonly computed: Record<string, unknown>;
  readonly operations: string[];
}

/** Everything that a lot record is made of, read at one moment of the books. */
export interface LotRecordInput extends LotMeasurements {
  readonly producer: ReportProducer;
  readonly premises: NamedPremises & { readonly timeZone: string };
  readonly lot: LotRow;
  readonly version: PlannedVersion | undefined;
  readonly plans: readonly PlanFactRow[];
  readonly operations: readonly OperationRow[];
  readonly postings: readonly PostingRow[];
  readonly packagedLots: readonly PackagedLotRow[];
  readonly movements: readonly MovementFactRow[];
  /** Names of vessels, instruments, people and keys, and codes of material lots with their materials. */
  readonly names: ReadonlyMap<string, string>;
  readonly head: Head;
  /** Of the last entry of the trail. */
  readonly at: Date;
}

/** More than a lot ever has; one more would be cut off. */
const MOST = 100_000;
const UUID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g;

/** Reads the record of one lot; the number of queries does not grow with it. */
@Injectable()
export class LotRecordReader {
  constructor(
    private readonly lots: LotReader,
    private readonly recipes: RecipeReader,
    private readonly measurements: LotMeasurementsReader,
    private readonly operations: OperationsReader,
    private readonly packagedLots: PackagedLotReader,
  ) {}

  async input(tx: Tx, ctx: RequestContext, lotId: string): Promise<LotRecordInput> {
    const { producerId } = ctx;
    const lot = (await this.lots.row(tx, producerId, lotId)) ?? notFound();
    const premises = await tx.rowThere('premises', { producerId, id: lot.premisesId });
    const operations = await this.operations.page(tx, producerId, { lotId }, 0, MOST);
    const head = await tx.rowThere('producerHead', { producerId });
    const measured = await this.measurements.of(tx, producerId, lotId, MOST);
    const named = [lot, operations.map(({ document }) => document), measured.findings, measured.readings];
    return {
      producer: { id: producerId, name: ctx.producerName, simulated: ctx.simulated },
      premises: { id: premises.id, name: premises.name, timeZone: premises.timeZone },
      lot,
      version:
        lot.recipeVersionId === null
          ? undefined
          : await this.recipes.version(tx, producerId, { id: lot.recipeVersionId }),
      plans: await this.#plans(tx, producerId, lotId),
      operations,
      postings: await this.operations.postings(
        tx,
        producerId,
        operations.map(({ sequence }) => sequence),
      ),
      ...measured,
      packagedLots: await this.packagedLots.page(tx, producerId, { lotId }, MOST),
      movements: await this.#movements(tx, producerId, lotId),
      names: await this.#names(tx, producerId, JSON.stringify(named)),

      head: await headOf(tx, producerId),
      at: head.recordedAt,
    };
  }

  #plans(tx: Tx, producerId: string, lotId: string): Promise<PlanFactRow[]> {
    return tx.$queryRaw<PlanFactRow[]>`
      SELECT p.id, p.kind, p.recorded_at AS "recordedAt", p.computed,
             ARRAY(SELECT o.id::text FROM operation o
                    WHERE o.producer_id = p.producer_id AND o.lot_id = p.lot_id AND o.document ->> 'planId' = p.id::text
                    ORDER BY o.sequence) AS operations
        FROM plan p WHERE p.producer_id = ${producerId}::uuid AND p.lot_id = ${lotId}::uuid ORDER BY p.id`;
  }

  #movements(tx: Tx, producerId: string, lotId: string): Promise<MovementFactRow[]> {
    return tx.$queryRaw<MovementFactRow[]>`
      SELECT m.operation_id AS "operationId", m.kind, o.occurred_at AS "occurredAt", k.lot_mark AS "lotMark", m.count, m.litres::float8 AS litres,
             t.text AS counterparty, is_reversed(o.producer_id, o.id) AS reversed
        FROM movement m
        JOIN operation o ON o.producer_id = m.producer_id AND o.id = m.operation_id
        LEFT JOIN packaged_lot k ON k.producer_id = m.producer_id AND k.id = m.packaged_lot_id
        LEFT JOIN personal_text t ON t.producer_id = m.producer_id AND t.id = m.counterparty_text_id
       WHERE m.producer_id = ${producerId}::uuid AND coalesce(k.lot_id, o.lot_id) = ${lotId}::uuid
       ORDER BY o.occurred_at, o.sequence`;
  }

  async #names(tx: Tx, producerId: string, documents: string): Promise<Map<string, string>> {
    const ids = [...new Set(documents.match(UUID) ?? [])];
    const rows = await tx.$queryRaw<{ id: string; name: string }[]>`
      SELECT id, name FROM vessel WHERE producer_id = ${producerId}::uuid AND id = ANY (${ids}::uuid[])
      UNION ALL
      SELECT l.id, m.name || ' ' || l.code FROM material_lot l JOIN material m ON m.producer_id = l.producer_id AND m.id = l.material_id
       WHERE l.producer_id = ${producerId}::uuid AND l.id = ANY (${ids}::uuid[])
      UNION ALL
      SELECT id, code FROM lot WHERE producer_id = ${producerId}::uuid AND id = ANY (${ids}::uuid[])
      UNION ALL
      SELECT p.id, t.text FROM person p JOIN personal_text t ON t.producer_id = p.producer_id AND t.id = p.name_text_id
       WHERE p.producer_id = ${producerId}::uuid AND p.id = ANY (${ids}::uuid[]) AND t.text IS NOT NULL
      UNION ALL
      SELECT id, name FROM api_key WHERE producer_id = ${producerId}::uuid AND id = ANY (${ids}::uuid[])
      UNION ALL
      SELECT id, name FROM instrument WHERE producer_id = ${producerId}::uuid AND id = ANY (${ids}::uuid[])`;
    return new Map(rows.map(({ id, name }) => [id, name]));
  }
}
