import { Injectable } from '@nestjs/common';
import { Exact } from '../../metrology/decimals.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../generated/prisma/client.js';
import type { Span } from '../figures/span.js';
import type { AccountKey, Subject } from '../books/account.js';
import type { Amount } from '../books/amount.js';
import { amount } from '../books/amount.js';
import type { Components } from '../books/components.js';
import type { Timing } from '../books/operation-draft.js';

/** One line of an operation as it was posted. */
export interface PostedLine {
  /** Its number in the operation. */
  readonly line: number;
  readonly account: AccountKey;
  readonly amount: Amount;
  readonly subject: Subject;
  readonly components: Components;
}

/** An operation as it was posted, and how it stands. */
export interface PostedOperation {
  readonly id: string;
  readonly sequence: bigint;
  readonly kind: string;
  readonly timing: Timing;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly lotId: string | undefined;
  readonly compositionId: string | undefined;
  readonly reverses: string | undefined;
  /** The gauge or stock-take that it explains. */
  readonly explains: string | undefined;
  /** The operation that reverses it, if any; that may be reversed in its turn. */
  readonly reversedBy: string | undefined;
  /** It counts: it is not reversed, or its reversal is. */
  readonly stands: boolean;
  readonly document: Record<string, unknown>;
  /** The closed period that it lies in, if that is closed. */
  readonly closedPeriodId: string | undefined;
  /** The closed period that it corrects. */
  readonly earlierPeriodId: string | undefined;
  readonly lines: readonly PostedLine[];
}

interface OperationRow {
  id: string;
  sequence: bigint;
  kind: string;
  timing: Timing;
  premisesId: string;
  occurredAt: Date;
  lotId: string | null;
  compositionId: string | null;
  reverses: string | null;
  explains: string | null;
  reversedBy: string | null;
  stands: boolean;
  document: Record<string, unknown>;
  closedPeriodId: string | null;
  earlierPeriodId: string | null;
  lines: LineRow[];
}

interface LineRow {
  line: number;
  account: Record<string, string | null>;
  litres: string;
  fermented: string;
  added: string;
  category: string | null;
  lotId: string | null;
  compositionId: string | null;
  packagedLotId: string | null;
  materialLotId: string | null;
  components: [string, string, string][];
}

/** The closed period that an entry corrects if it corrects this operation: a correction of a correction belongs to the same period as that. */
export const correctedPeriodOf = ({
  earlierPeriodId,
  closedPeriodId,
}: Pick<PostedOperation, 'earlierPeriodId' | 'closedPeriodId'>): string | undefined =>
  earlierPeriodId ?? closedPeriodId;

const given = <T>(value: T | null): T | undefined => value ?? undefined;

/** The key of an account from its row. */
export const accountKeyOf = (row: Record<string, string | null>): AccountKey =>
  ({
    side: row.side,
    kind: row.kind,
    premisesId: row.premises_id,
    owner: row.owner,
    dutyStatus: row.duty_status,
    stage: given(row.stage),
    category: given(row.category),
    compositionId: given(row.composition_id),
    vesselId: given(row.vessel_id),
    materialLotId: given(row.material_lot_id),
    packagedLotId: given(row.packaged_lot_id),
    transitId: given(row.transit_id),
  }) as AccountKey;

const postedLine = (row: LineRow): PostedLine => ({
  line: row.line,
  account: accountKeyOf(row.account),
  amount: amount(row.litres, row.fermented, row.added),
  subject: {
    category: row.category ?? '',
    lotId: given(row.lotId),
    compositionId: given(row.compositionId),
    packagedLotId: given(row.packagedLotId),
    materialLotId: given(row.materialLotId),
  },
  components: new Map(
    row.components.map(([origin, litres, lpa]) => [origin, { litres: new Exact(litres), lpa: new Exact(lpa) }]),
  ),
});

/** An entry that corrects a closed period. */
export interface CorrectionRow {
  readonly operationId: string;
  readonly kind: string;
  readonly earlierPeriodId: string;
  readonly recordedAt: Date;
  readonly reasonCode: string | null;
  readonly personId: string | null;
}

/** Reads operations with their lines, as they were posted. */
@Injectable()
export class PostedOperationReader {
  async row(tx: Tx, producerId: string, id: string): Promise<PostedOperation | undefined> {
    const rows = await this.where(tx, producerId, Prisma.sql`o.id = ${id}::uuid`);
    return rows.at(0);
  }

  /** Entries of a span that correct closed periods and stand, in the order of the books. */
  correctionsIn(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: Span): Promise<CorrectionRow[]> {
    return tx.$queryRaw<CorrectionRow[]>`
      SELECT o.id AS "operationId", o.kind, o.earlier_period_id AS "earlierPeriodId", o.recorded_at AS "recordedAt",
             o.reason_code AS "reasonCode", o.person_id AS "personId"
        FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${premisesId}::uuid AND o.earlier_period_id IS NOT NULL
         AND o.occurred_at >= ${startsAt}::timestamptz AND o.occurred_at < ${endsAt}::timestamptz AND NOT is_reversed(o.producer_id, o.id)
       ORDER BY o.sequence`;
  }

  /**
   * Reads the operations that were entered with one and are reversed with it: the counter-entry of an entry that explains an assertion, or the entry of one; what a
   * finding or a difference changed on other premises.
   */
  together(tx: Tx, producerId: string, { id }: PostedOperation): Promise<PostedOperation[]> {
    const condition = Prisma.sql`EXISTS (
      SELECT 1 FROM operation w WHERE w.producer_id = o.producer_id AND w.id = ${id}::uuid AND w.id <> o.id
         AND w.trail_sequence = o.trail_sequence
         AND (w.explains = o.explains OR (w.kind = o.kind AND w.kind IN ('finding', 'finish', 'difference'))))`;
    return this.where(tx, producerId, condition);
  }

  /**
   * Reads the operations of one entry of the trail, the last first; where it corrected another operation, the reversal of that one too, so that both are
   * reversed together.
   */
  async ofEntry(tx: Tx, producerId: string, trailSequence: bigint): Promise<PostedOperation[]> {
    const condition = Prisma.sql`o.trail_sequence = ${trailSequence} OR (o.trail_sequence = ${trailSequence - 1n} AND EXISTS (
      SELECT 1 FROM operation w WHERE w.producer_id = o.producer_id AND w.trail_sequence = ${trailSequence} AND w.corrects = o.reverses))`;
    const rows = await this.where(tx, producerId, Prisma.sql`(${condition})`);
    return rows.sort((a, b) => Number(b.sequence - a.sequence));
  }

  /**
   * Operations without postings that stand on a composition which this one made: the balances do not keep it from being reversed, but they would then
   * stand on a composition that is not there.
   */
  restingOn(tx: Tx, producerId: string, { id }: PostedOperation): Promise<PostedOperation[]> {
    const condition = Prisma.sql`o.composition_id IN (SELECT c.id FROM composition c WHERE c.producer_id = ${producerId}::uuid AND c.operation_id = ${id}::uuid)
      AND o.id <> ${id}::uuid AND o.reverses IS NULL AND NOT is_reversed(o.producer_id, o.id)
      AND NOT EXISTS (SELECT 1 FROM posting p WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence)`;
    return this.where(tx, producerId, condition);
  }

  /** Differences that put an operation right and stand, oldest first. */
  differencesOf(tx: Tx, producerId: string, id: string): Promise<PostedOperation[]> {
    const condition = Prisma.sql`o.corrects = ${id}::uuid AND o.kind = 'difference' AND NOT is_reversed(o.producer_id, o.id)`;
    return this.where(tx, producerId, condition);
  }

  /** In the order of the books: by time of the event, then by sequence. */
  async where(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<PostedOperation[]> {
    const rows = await tx.$queryRaw<OperationRow[]>`
      SELECT o.id, o.sequence, o.kind, o.timing, o.premises_id AS "premisesId", o.occurred_at AS "occurredAt", o.lot_id AS "lotId",
             o.composition_id AS "compositionId", o.reverses, o.explains, o.document,
             (SELECT r.id FROM operation r WHERE r.producer_id = o.producer_id AND r.reverses = o.id) AS "reversedBy",
             NOT is_reversed(o.producer_id, o.id) AS stands,
             (SELECT p.id FROM period p JOIN report c ON c.producer_id = p.producer_id AND c.period_id = p.id
               WHERE p.producer_id = o.producer_id AND p.premises_id = o.premises_id AND p.starts_at <= o.occurred_at AND o.occurred_at < p.ends_at)
               AS "closedPeriodId", o.earlier_period_id AS "earlierPeriodId",
             (SELECT coalesce(jsonb_agg(jsonb_build_object(
                       'line', p.line, 'account', to_jsonb(a), 'litres', p.litres::text, 'fermented', p.lpa_fermented::text, 'added', p.lpa_added::text,
                       'category', p.category, 'lotId', p.lot_id, 'compositionId', p.composition_id, 'packagedLotId', p.packaged_lot_id,
                       'materialLotId', p.material_lot_id,
                       'components', (SELECT coalesce(jsonb_agg(jsonb_build_array(c.origin, c.c_litres::text, c.c_lpa::text)), '[]')
                                        FROM posting_component c
                                       WHERE c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line))
                     ORDER BY p.line), '[]')
                FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
               WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence) AS lines
        FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY o.occurred_at, o.sequence`;
    return rows.map((row) => ({
      ...row,
      lotId: given(row.lotId),
      compositionId: given(row.compositionId),
      reverses: given(row.reverses),
      explains: given(row.explains),
      reversedBy: given(row.reversedBy),
      closedPeriodId: given(row.closedPeriodId),
      earlierPeriodId: given(row.earlierPeriodId),
      lines: row.lines.map(postedLine),
    }));
  }
}
