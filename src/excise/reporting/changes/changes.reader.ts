import { Injectable } from '@nestjs/common';
import type { Components } from '../../../ledger/books/components.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { PostedOperationReader } from '../../../ledger/corrections/posted-operation.reader.js';
import { StockAtReader } from '../../../ledger/figures/stock-at.reader.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { Exact } from '../../../metrology/decimals.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { RuleSetReader } from '../../duty/rule-sets/rule-set.reader.js';
import type { NamedRuleSet } from '../../duty/rules/rule-set.js';
import { CorrectedPeriodReader } from '../sources/corrected-period.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** A correction of the period with what stands beside its lines. */
export interface ChangeFact {
  readonly id: string;
  readonly sequence: number;
  readonly recordedAt: Date;
  readonly corrects: string | null;
  readonly reasonCode: string | null;
  readonly reversed: boolean;
}

/** A movement that a correction is, or that it reverses. */
export interface MovementFact {
  readonly operationId: string;
  readonly kind: string;
  readonly litres: string;
  readonly strengthForDutyPercent: string | null;
}

export interface ChangesInput {
  readonly facts: readonly ChangeFact[];
  /** The corrections, and what they reverse, as posted. */
  readonly operations: ReadonlyMap<string, PostedOperation>;
  readonly movements: ReadonlyMap<string, MovementFact>;
  /** By nominal kind: uncertainty of the frozen figure by origin. */
  readonly lineComponents: ReadonlyMap<string, Components>;
  readonly closingComponents: Components;
  readonly categoryComponents: ReadonlyMap<string, Components>;
  /** Its releases as they are now, and the rules by which their duty is calculated. */
  readonly corrected: Awaited<ReturnType<CorrectedPeriodReader['of']>>;
  readonly ruleSets: readonly NamedRuleSet[];
  readonly settings: ProducerSettings;
}

interface VectorRow {
  readonly key: string;
  readonly origin: string;
  readonly litres: string;
  readonly lpa: string;
}

/** Reads the corrections of a closed period, and the uncertainty of its figures by origin. */
@Injectable()
export class ChangesReader {
  constructor(
    private readonly posted: PostedOperationReader,
    private readonly stockAt: StockAtReader,
    private readonly corrected: CorrectedPeriodReader,
    private readonly ruleSets: RuleSetReader,
    private readonly settings: SettingsReader,
  ) {}

  async input(tx: Tx, producerId: string, period: PeriodRow): Promise<ChangesInput> {
    const facts = await this.#facts(tx, producerId, period.id);
    const operations = await this.posted.where(
      tx,
      producerId,
      Prisma.sql`(o.earlier_period_id = ${period.id}::uuid OR EXISTS (
        SELECT 1 FROM operation r WHERE r.producer_id = o.producer_id AND r.reverses = o.id AND r.earlier_period_id = ${period.id}::uuid))`,
    );
    const movements = await this.#movements(
      tx,
      producerId,
      operations.map(({ id }) => id),
    );
    const stock = await this.stockAt.accounts(tx, producerId, [{ premisesId: period.premisesId, at: period.endsAt }]);
    const stockIds = stock.map(({ id }) => id);
    return {
      facts,
      operations: new Map(operations.map((each) => [each.id, each])),
      movements: new Map(movements.map((each) => [each.operationId, each])),
      lineComponents: vectors(await this.#lineVectors(tx, producerId, period)),
      closingComponents:
        vectors(await this.#stockVectors(tx, producerId, period, stockIds, false)).get('') ?? new Map(),
      categoryComponents: vectors(await this.#stockVectors(tx, producerId, period, stockIds, true)),
      corrected: await this.corrected.of(tx, producerId, period),
      ruleSets: await this.ruleSets.all(tx, producerId),
      settings: await this.settings.of(tx, producerId),
    };
  }

  #facts(tx: Tx, producerId: string, periodId: string): Promise<ChangeFact[]> {
    return tx.$queryRaw<ChangeFact[]>`
      SELECT o.id, o.sequence::int AS sequence, o.recorded_at AS "recordedAt", o.corrects, o.reason_code AS "reasonCode",
             is_reversed(o.producer_id, o.id) AS reversed
        FROM operation o WHERE o.producer_id = ${producerId}::uuid AND o.earlier_period_id = ${periodId}::uuid ORDER BY o.sequence`;
  }

  #movements(tx: Tx, producerId: string, ids: readonly string[]): Promise<MovementFact[]> {
    return tx.$queryRaw<MovementFact[]>`
      SELECT operation_id AS "operationId", kind, litres::text AS litres, strength_for_duty_percent::text AS "strengthForDutyPercent"
        FROM movement WHERE producer_id = ${producerId}::uuid AND operation_id = ANY (${[...ids]}::uuid[])`;
  }

  #lineVectors(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: PeriodRow): Promise<VectorRow[]> {
    return tx.$queryRaw<VectorRow[]>`
      SELECT a.kind AS key, c.origin, sum(-c.c_litres)::text AS litres, sum(-c.c_lpa)::text AS lpa
        FROM account a JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
        JOIN posting_component c ON c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line
       WHERE a.producer_id = ${producerId}::uuid AND a.premises_id = ${premisesId}::uuid AND a.side = 'nominal'
         AND p.occurred_at >= ${startsAt}::timestamptz AND p.occurred_at < ${endsAt}::timestamptz
       GROUP BY a.kind, c.origin`;
  }

  #stockVectors(
    tx: Tx,
    producerId: string,
    { endsAt }: PeriodRow,
    accounts: readonly string[],
    byCategory: boolean,
  ): Promise<VectorRow[]> {
    return tx.$queryRaw<VectorRow[]>`
      SELECT CASE WHEN ${byCategory}::boolean THEN coalesce(p.category, '') ELSE '' END AS key, c.origin,
             sum(c.c_litres)::text AS litres, sum(c.c_lpa)::text AS lpa
        FROM posting p
        JOIN posting_component c ON c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line
       WHERE p.producer_id = ${producerId}::uuid AND p.account_id = ANY (${[...accounts]}::uuid[]) AND p.occurred_at < ${endsAt}::timestamptz
       GROUP BY 1, c.origin`;
  }
}

function vectors(rows: readonly VectorRow[]): Map<string, Components> {
  const found = new Map<string, Map<string, { litres: InstanceType<typeof Exact>; lpa: InstanceType<typeof Exact> }>>();
  for (const { key, origin, litres, lpa } of rows) {
    const vector = found.get(key) ?? new Map();
    vector.set(origin, { litres: new Exact(litres), lpa: new Exact(lpa) });
    found.set(key, vector);
  }
  return found;
}
