import { Injectable } from '@nestjs/common';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { AccountKey } from '../books/account.js';
import { accountKeyOf } from '../corrections/posted-operation.reader.js';
import type { FlowLine, FlowOperation } from './flow.js';

/** An account with whose liquid it holds. */
export interface Place {
  readonly id: string;
  readonly key: AccountKey;
  /** The lot of its composition or packaged lot. */
  readonly lotId: string | undefined;
  /** Its composition, or that which the packaged lot was filled from. */
  readonly compositionId: string | undefined;
  readonly category: string;
}

/** A material lot that an operation's document names, with how much of it where it says so. */
export interface NamedMaterial {
  readonly materialLotId: string;
  readonly quantity: number;
  readonly unit: string;
}

export interface GenealogyOperation extends FlowOperation {
  readonly sequence: bigint;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly compositionId: string | undefined;
  readonly materials: readonly NamedMaterial[];
  /** The closed period that it lies in, if that is closed. */
  readonly closedPeriodId: string | undefined;
}

/** Operations that stand, in the order of the books, with the accounts that they name. */
export interface Genealogy {
  readonly operations: readonly GenealogyOperation[];
  readonly places: ReadonlyMap<string, Place>;
}

interface OperationRow {
  id: string;
  sequence: bigint;
  kind: string;
  premisesId: string;
  occurredAt: Date;
  compositionId: string | null;
  document: unknown;
  closedPeriodId: string | null;
  lines: FlowLine[] | null;
}

/** More accounts than one lot reaches in a small producer's years; beyond it a request would hold the database. */
const MOST_ACCOUNTS = 20_000;

/** Material lots named anywhere in a document of an event, with the quantity beside the name. */
export function namedMaterials(document: unknown): NamedMaterial[] {
  if (Array.isArray(document)) {
    return document.flatMap(namedMaterials);
  }
  if (typeof document !== 'object' || document === null) {
    return [];
  }
  const fields = document as Record<string, unknown>;
  const within = Object.values(fields).flatMap((value) => (typeof value === 'object' ? namedMaterials(value) : []));
  const { materialLotId } = fields;
  const quantity = (fields.mass ?? fields.volume ?? fields.dose) as { value?: unknown; unit?: unknown } | undefined;
  return typeof materialLotId !== 'string'
    ? within
    : [{ materialLotId, quantity: Number(quantity?.value ?? 0), unit: String(quantity?.unit ?? '') }, ...within];
}

/** Reads the part of the books that liquid can have come from or gone to. */
@Injectable()
export class GenealogyReader {
  /** Everything that the liquid of these accounts went to. */
  forward(tx: Tx, producerId: string, accounts: readonly string[]): Promise<Genealogy> {
    return this.#reached(tx, producerId, accounts, -1);
  }

  /** Everything that the liquid of these accounts came from. */
  backward(tx: Tx, producerId: string, accounts: readonly string[]): Promise<Genealogy> {
    return this.#reached(tx, producerId, accounts, 1);
  }

  /** Stock accounts of compositions, packaged lots and material lots. */
  async accountsOf(
    tx: Tx,
    producerId: string,
    of: { compositions?: readonly string[]; packagedLots?: readonly string[]; materialLots?: readonly string[] },
  ): Promise<string[]> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT a.id FROM account a
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock'
         AND (a.composition_id = ANY (${of.compositions ?? []}::uuid[]) OR a.packaged_lot_id = ANY (${of.packagedLots ?? []}::uuid[])
              OR a.material_lot_id = ANY (${of.materialLots ?? []}::uuid[]))`;
    return rows.map(({ id }) => id);
  }

  /** Stock accounts of a lot: of its compositions, and of its packaged lots. */
  async accountsOfLot(tx: Tx, producerId: string, lotId: string): Promise<string[]> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT a.id FROM account a
        LEFT JOIN composition c ON c.producer_id = a.producer_id AND c.id = a.composition_id
        LEFT JOIN packaged_lot k ON k.producer_id = a.producer_id AND k.id = a.packaged_lot_id
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock' AND (c.lot_id = ${lotId}::uuid OR k.lot_id = ${lotId}::uuid)`;
    return rows.map(({ id }) => id);
  }

  /** Stock accounts that operations filled, or worked on, whose document names the material lot. */
  async accountsNaming(tx: Tx, producerId: string, materialLotId: string): Promise<string[]> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT DISTINCT a.id FROM operation o JOIN account a ON a.producer_id = o.producer_id AND a.side = 'stock'
       WHERE o.producer_id = ${producerId}::uuid AND o.reverses IS NULL
         AND jsonb_path_exists(o.document, '$.**.materialLotId ? (@ == $id)', jsonb_build_object('id', ${materialLotId}::text))
         AND (a.composition_id = o.composition_id OR EXISTS (
               SELECT 1 FROM posting p WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence AND p.account_id = a.id AND p.litres > 0))`;
    return rows.map(({ id }) => id);
  }

  async #reached(tx: Tx, producerId: string, accounts: readonly string[], sign: 1 | -1): Promise<Genealogy> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      WITH RECURSIVE reached AS (
        SELECT unnest(${[...accounts]}::uuid[]) AS id
        UNION
        SELECT q.account_id FROM reached r
          JOIN posting p ON p.producer_id = ${producerId}::uuid AND p.account_id = r.id AND sign(p.litres) = ${sign}
          JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence AND o.reverses IS NULL
          JOIN posting q ON q.producer_id = p.producer_id AND q.operation_sequence = p.operation_sequence AND sign(q.litres) = ${-sign}
          JOIN account a ON a.producer_id = q.producer_id AND a.id = q.account_id AND a.side = 'stock'
         WHERE NOT is_reversed(o.producer_id, o.id))
      SELECT id FROM reached LIMIT ${MOST_ACCOUNTS + 1}`;
    const reached = new Set(rows.map(({ id }) => id));
    const more = (await this.#ofTheSamePacked(tx, producerId, [...reached])).filter((id) => !reached.has(id));
    if (more.length > 0) {
      return this.#reached(tx, producerId, [...reached, ...more], sign);
    }
    if (rows.length > MOST_ACCOUNTS) {
      throw new ProblemException('not-computable', 'The genealogy is too large to be followed in one request.', {
        errors: [{ pointer: '', rule: 'too-large', detail: `It reaches more than ${MOST_ACCOUNTS} accounts.` }],
      });
    }
    return this.#load(tx, producerId, [...reached]);
  }

  /** All accounts of the packaged lots of these accounts: a return is drawn from no stock account, so postings do not lead there. */
  async #ofTheSamePacked(tx: Tx, producerId: string, accounts: readonly string[]): Promise<string[]> {
    const rows = await tx.$queryRaw<{ packagedLotId: string }[]>`
      SELECT DISTINCT a.packaged_lot_id AS "packagedLotId" FROM account a
       WHERE a.producer_id = ${producerId}::uuid AND a.id = ANY (${[...accounts]}::uuid[]) AND a.packaged_lot_id IS NOT NULL`;
    return rows.length === 0
      ? []
      : this.accountsOf(tx, producerId, { packagedLots: rows.map(({ packagedLotId }) => packagedLotId) });
  }

  async #load(tx: Tx, producerId: string, accounts: readonly string[]): Promise<Genealogy> {
    const operations = await tx.$queryRaw<OperationRow[]>`
      SELECT o.id, o.sequence, o.kind, o.premises_id AS "premisesId", o.occurred_at AS "occurredAt", o.composition_id AS "compositionId", o.document,
             (SELECT d.id FROM period d JOIN report c ON c.producer_id = d.producer_id AND c.period_id = d.id
               WHERE d.producer_id = o.producer_id AND d.premises_id = o.premises_id AND d.starts_at <= o.occurred_at AND o.occurred_at < d.ends_at)
               AS "closedPeriodId",
             (SELECT jsonb_agg(jsonb_build_object('account', p.account_id, 'side', a.side, 'kind', a.kind, 'litres', p.litres::float8, 'packagedLotId', a.packaged_lot_id) ORDER BY p.line)
                FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
               WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence) AS lines
        FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.reverses IS NULL AND NOT is_reversed(o.producer_id, o.id)
         AND (o.sequence IN (SELECT p.operation_sequence FROM posting p WHERE p.producer_id = ${producerId}::uuid AND p.account_id = ANY (${[...accounts]}::uuid[]))
              OR o.composition_id IN (SELECT a.composition_id FROM account a WHERE a.producer_id = ${producerId}::uuid AND a.id = ANY (${[...accounts]}::uuid[])))
       ORDER BY o.occurred_at, o.sequence`;
    const ids = new Set(operations.flatMap(({ lines }) => (lines ?? []).map(({ account }) => account)));
    return {
      operations: operations.map(({ lines, document, compositionId, closedPeriodId, ...row }) => ({
        ...row,
        compositionId: compositionId ?? undefined,
        closedPeriodId: closedPeriodId ?? undefined,
        materials: namedMaterials(document),
        lines: lines ?? [],
      })),
      places: await this.#places(tx, producerId, [...ids]),
    };
  }

  async #places(tx: Tx, producerId: string, ids: readonly string[]): Promise<Map<string, Place>> {
    const rows = await tx.$queryRaw<
      {
        id: string;
        account: Record<string, string | null>;
        lotId: string | null;
        compositionId: string | null;
        category: string | null;
      }[]
    >`
      SELECT a.id, to_jsonb(a) AS account, coalesce(c.lot_id, k.lot_id) AS "lotId",
             coalesce(a.composition_id, k.composition_id) AS "compositionId", coalesce(k.category, l.category, a.category) AS category
        FROM account a
        LEFT JOIN composition c ON c.producer_id = a.producer_id AND c.id = a.composition_id
        LEFT JOIN packaged_lot k ON k.producer_id = a.producer_id AND k.id = a.packaged_lot_id
        LEFT JOIN lot l ON l.producer_id = c.producer_id AND l.id = c.lot_id
       WHERE a.producer_id = ${producerId}::uuid AND a.id = ANY (${[...ids]}::uuid[])`;
    return new Map(
      rows.map(({ id, account, lotId, compositionId, category }) => [
        id,
        {
          id,
          key: accountKeyOf(account),
          lotId: lotId ?? undefined,
          compositionId: compositionId ?? undefined,
          category: category ?? 'materials',
        },
      ]),
    );
  }
}
