import { Injectable } from '@nestjs/common';
import type { Prisma } from '../../../generated/prisma/client.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import { plannedShares } from '../../registers/recipes/extract-shares.js';
import { ExpectedFigures, RecipePlan } from '../../registers/recipes/plan.dto.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { CompositionRow } from '../../lots/compositions/composition.reader.js';
import { CompositionReader } from '../../lots/compositions/composition.reader.js';
import { FindingReader, lastOfRecord, latestProvisionalOf, ofRecordOf } from '../finding-records/finding.reader.js';
import type { CompositionPosition, LotPosition } from './lot-position.js';

interface LotRow {
  id: string;
  code: string;
  premisesId: string;
  category: string;
  owner: string | null;
  recipeId: string | null;
  plan: Prisma.JsonValue;
  expected: Prisma.JsonValue;
}

/** Reads the state of a lot: compositions, stock of each, findings. */
@Injectable()
export class PositionReader {
  constructor(
    private readonly compositions: CompositionReader,
    private readonly findings: FindingReader,
    private readonly stock: StockReader,
  ) {}

  /** @throws ProblemException `not-found` */
  async ofLot(tx: Tx, producerId: string, lotId: string): Promise<LotPosition> {
    const [lot] = await tx.$queryRaw<LotRow[]>`
      SELECT l.id, l.code, l.premises_id AS "premisesId", l.category, l.owner, v.recipe_id AS "recipeId", v.plan, v.expected
        FROM lot l LEFT JOIN recipe_version v ON v.producer_id = l.producer_id AND v.id = l.recipe_version_id
       WHERE l.producer_id = ${producerId}::uuid AND l.id = ${lotId}::uuid`;
    if (lot === undefined) {
      return notFound();
    }
    const plan = lot.plan === null ? undefined : fromJson(RecipePlan, 'recipe_version.plan', lot.plan);
    const expected =
      lot.expected === null ? undefined : fromJson(ExpectedFigures, 'recipe_version.expected', lot.expected);
    return {
      lot: {
        id: lot.id,
        code: lot.code,
        premisesId: lot.premisesId,
        category: lot.category,
        owner: lot.owner,
        recipeId: lot.recipeId ?? undefined,
        recipeKind: plan?.kind,
        shares: plan === undefined ? undefined : plannedShares(plan),
        expectedExtractPlato: expected?.originalExtract,
        expectedFinalGravity: expected?.finalGravity,
      },
      compositions: await this.#positions(tx, producerId, await this.compositions.ofLot(tx, producerId, lotId)),
    };
  }

  /** Composition in a vessel: at most one with liquid in it. */
  async inVessel(tx: Tx, producerId: string, vesselId: string): Promise<CompositionPosition | undefined> {
    const [account] = await this.stock.ofVessel(tx, producerId, vesselId);
    const id = account?.account.compositionId;
    if (id === undefined) {
      return undefined;
    }
    const [position] = await this.#positions(tx, producerId, await this.compositions.ofIds(tx, producerId, [id]));
    return position;
  }

  async #positions(tx: Tx, producerId: string, rows: readonly CompositionRow[]): Promise<CompositionPosition[]> {
    const ids = rows.map(({ id }) => id);
    const accounts = await this.stock.ofCompositions(tx, producerId, ids);
    const findings = await this.findings.ofCompositions(tx, producerId, ids);
    return rows.map((composition) => {
      const own = findings.filter(({ compositionId }) => compositionId === composition.id);
      return {
        composition,
        accounts: accounts.filter(
          ({ account }) => account.compositionId === composition.id && account.kind === 'liquid',
        ),
        findings: own,
        ofRecord: ofRecordOf(own),
        lastOfRecordId: lastOfRecord(own)?.id,
        provisional: latestProvisionalOf(own),
      };
    });
  }
}
