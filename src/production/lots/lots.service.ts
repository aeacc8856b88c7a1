import { Injectable } from '@nestjs/common';
import type { Lot as LotRecord } from '../../generated/prisma/client.js';
import type { Page } from '../../platform/pagination.js';
import { filteredList, pageOf } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { idRule } from '../../platform/validation/text-rules.js';
import type { Answer } from '../../tenancy/producer-database/batch.js';
import { requirePerson } from '../../tenancy/people/person.reader.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { etagOf, notFound, SettingsStore } from '../../tenancy/settings/settings-store.js';
import { untilFree } from '../shared/number-retry.js';
import { positionOf } from '../shared/cursor.js';
import { localDay } from '../shared/local-day.js';
import type { PlannedVersion } from '../registers/recipes/recipe.reader.js';
import { RecipeReader } from '../registers/recipes/recipe.reader.js';
import type { LotContents } from '../shared/contents.dto.js';
import { ContentsReader } from '../shared/contents.dto.js';
import { ownerOf } from '../shared/owner.js';
import { malformed, missingReference, referencedInUse } from '../shared/references.js';
import { codePrefix, nextCode } from './lot-code.js';
import { LotReader } from './lot.reader.js';
import type { LotChange, LotQuery, LotRow, Lot, LotWithContents, NewLot } from './lots.dto.js';
import { toLot } from './lots.dto.js';

const LIST = 'lot';
const NOTHING_LEFT: LotContents = { state: 'empty', liquids: [] };

@Injectable()
export class LotsService {
  constructor(
    private readonly store: SettingsStore,
    private readonly database: ProducerDatabase,
    private readonly lots: LotReader,
    private readonly recipes: RecipeReader,
    private readonly contents: ContentsReader,
  ) {}

  async list(ctx: RequestContext, query: LotQuery): Promise<Page<LotWithContents>> {
    const { limit, cursor, ...filter } = query;
    const list = filteredList(LIST, query);
    const after = cursor === undefined ? undefined : positionOf(list, cursor, [idRule])[0];
    const { rows, contents } = await this.database.read(ctx, async (tx) => {
      const rows = await this.lots.rows(tx, ctx.producerId, { ...filter, after }, limit + 1);
      return { rows, contents: await this.contentsOf(tx, ctx, rows) };
    });
    return pageOf(
      list,
      rows,
      limit,
      (row) => [row.id],
      (row) => ({ ...toLot(row), contents: contents.get(row.id) ?? NOTHING_LEFT }),
    );
  }

  get(ctx: RequestContext, id: string): Promise<LotWithContents> {
    return this.database.read(ctx, async (tx) => {
      const row = (await this.lots.row(tx, ctx.producerId, id)) ?? notFound();
      return { ...toLot(row), contents: (await this.contentsOf(tx, ctx, [row])).get(id) ?? NOTHING_LEFT };
    });
  }

  async create(ctx: RequestContext, body: NewLot): Promise<Answer<Lot>> {
    if (body.recipeVersion !== undefined && body.recipeVersionId !== undefined) {
      const detail = 'Give recipeVersion or recipeVersionId, not both.';
      throw malformed({ pointer: '/recipeVersionId', rule: 'contradictory', detail });
    }
    const { code } = body;
    if (code === undefined) {
      return untilFree(() => this.createOnce(ctx, body));
    }
    try {
      return await this.createOnce(ctx, body);
    } catch (error) {
      if (error instanceof ProblemException && error.code === 'already-exists') {
        const detail = 'There is a lot with this code already.';
        throw new ProblemException('already-exists', detail, {
          errors: [{ pointer: '/code', rule: 'unique', detail }],
        });
      }
      throw error;
    }
  }

  async change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    { retired }: LotChange,
  ): Promise<Answer<Lot>> {
    const before = (await this.row(ctx, id)) ?? notFound();
    if (retired && (await this.database.read(ctx, (tx) => this.lots.isInStock(tx, ctx.producerId, id)))) {
      throw new ProblemException(
        'in-use',
        'This lot still has stock. Move or write off its liquid and containers first.',
        {
          errors: [{ pointer: '/retired', rule: 'empty', detail: 'Only a lot of which nothing is left is retired.' }],
        },
      );
    }
    return this.store.change<LotRecord, Lot>(ctx, {
      table: 'lot',
      action: 'lots.change',
      id,
      ifMatch,
      changes: { retiredAt: retired ? this.store.now() : null },
      toAnswer: ({ version, retiredAt }) => toLot({ ...before, version, retiredAt }),
    });
  }

  private contentsOf(tx: Tx, ctx: RequestContext, rows: readonly LotRow[]): Promise<ReadonlyMap<string, LotContents>> {
    return this.contents.ofLots(
      tx,
      ctx.producerId,
      rows.map(({ id }) => id),
    );
  }

  private row(ctx: RequestContext, id: string): Promise<LotRow | undefined> {
    return this.database.read(ctx, (tx) => this.lots.row(tx, ctx.producerId, id));
  }

  private async createOnce(ctx: RequestContext, body: NewLot): Promise<Answer<Lot>> {
    const { producerId } = ctx;
    const createdAt = this.store.now();
    const { version, code } = await this.database.read(ctx, async (tx) => {
      const premises = await referencedInUse(tx, producerId, 'premises', body.premisesId, '/premisesId');
      await requirePerson(tx, producerId, body.personId, '/personId');
      return {
        version: await this.version(tx, producerId, body),
        code: body.code ?? (await this.freeCode(tx, producerId, localDay(createdAt, premises.timeZone))),
      };
    });
    const category = body.category ?? version?.recipe.category;
    if (category === undefined) {
      const detail = 'A lot without a recipe needs its category.';
      throw malformed({ pointer: '/category', rule: 'required', detail });
    }
    const row = {
      id: this.store.newId(),
      code,
      premisesId: body.premisesId,
      recipeVersionId: version?.id ?? null,
      category,
      owner: ownerOf(body.owner),
      personId: body.personId ?? null,
      keyId: ctx.principalId,
      createdAt,
    };
    const wire = toLot({
      ...row,
      recipeId: version?.recipeId ?? null,
      recipeNumber: version?.number ?? null,
      version: 1,
      retiredAt: null,
    });
    return this.store.create(ctx, {
      action: 'lots.create',
      records: [{ table: 'lot', data: row }],
      facts: { ...wire },
      body: wire,
      headers: { etag: etagOf(1), location: `/v1/lots/${row.id}` },
    });
  }

  private async version(tx: Tx, producerId: string, body: NewLot): Promise<PlannedVersion | undefined> {
    const { recipeVersion, recipeVersionId } = body;
    if (recipeVersion === undefined && recipeVersionId === undefined) {
      return undefined;
    }
    const pointer = recipeVersion === undefined ? '/recipeVersionId' : '/recipeVersion';
    const found = await this.recipes.version(
      tx,
      producerId,
      recipeVersion === undefined
        ? { id: recipeVersionId ?? '' }
        : { recipeId: recipeVersion.recipeId, number: recipeVersion.number },
    );
    if (found === undefined) {
      throw missingReference(pointer);
    }
    if (found.recipe.retiredAt !== null) {
      const detail = 'The recipe is retired. Bring it back first, or name a version of another recipe.';
      throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'retired', detail }] });
    }
    return found;
  }

  private async freeCode(tx: Tx, producerId: string, day: string): Promise<string> {
    const taken = await tx.$queryRaw<{ code: string }[]>`
      SELECT code FROM lot WHERE producer_id = ${producerId}::uuid AND starts_with(code, ${codePrefix(day)})`;
    return nextCode(
      day,
      taken.map(({ code }) => code),
    );
  }
}
