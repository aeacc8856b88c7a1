import { Injectable } from '@nestjs/common';
import type { ReturnMapping as ReturnMappingRow } from '../../../generated/prisma/client.js';
import type { Page } from '../../../platform/pagination.js';
import { untilFree } from '../../../production/shared/number-retry.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsResource } from '../../../tenancy/settings/resource.service.js';
import type { Stored } from '../../../tenancy/settings/resource.service.js';
import { SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { fromJson, toJson } from '../../../tenancy/settings/stored-json.js';
import { checkMapping } from '../rules/check-mapping.js';
import { RETURN_ADVICE } from '../rules/mapping.js';
import { RETURN_STARTING_POINTS } from '../starting-points/starting-points.js';
import { ReturnMappingReader, toMapping } from './return-mapping.reader.js';
import type {
  ReturnMapping,
  ReturnMappingChange,
  ReturnMappingQuery,
  ReturnStartingPoint,
} from './return-mappings.dto.js';
import { NewReturnMapping } from './return-mappings.dto.js';

type Columns = Pick<ReturnMappingRow, 'name' | 'number' | 'document'>;

const toReturnMapping = (row: Columns & Stored): ReturnMapping => ({
  id: row.id,
  number: row.number,
  mapping: fromJson(NewReturnMapping, 'return_mapping.document', row.document),
  advice: RETURN_ADVICE,
  version: row.version,
  createdAt: row.createdAt.toISOString(),
  ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
});

/** A producer's mappings to the forms of its authority, in versions. */
@Injectable()
export class ReturnMappingsService extends SettingsResource<Columns, ReturnMapping> {
  protected readonly table = 'returnMapping';
  protected readonly path = 'return-mappings';
  protected readonly toAnswer = toReturnMapping;

  constructor(
    store: SettingsStore,
    private readonly database: ProducerDatabase,
    private readonly mappings: ReturnMappingReader,
  ) {
    super(store);
  }

  protected override where({ name }: ReturnMappingQuery) {
    return { name };
  }

  startingPoints(): Page<ReturnStartingPoint> {
    return { items: RETURN_STARTING_POINTS.map((each) => ({ ...each, advice: RETURN_ADVICE })), next: null };
  }

  async create(ctx: RequestContext, body: NewReturnMapping): Promise<Answer<ReturnMapping>> {
    // As JSON: what is kept is what will be read back.
    const document = toJson(body);
    const mapping = toMapping(document);
    return untilFree(async () => {
      const { known, last } = await this.database.read(ctx, async (tx) => ({
        known: await this.mappings.known(tx, ctx.producerId),
        last: await this.mappings.lastNumber(tx, ctx.producerId, mapping.name),
      }));
      checkMapping(mapping, known);
      return this.add(ctx, { name: mapping.name, number: last + 1, document });
    });
  }

  change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    { retired }: ReturnMappingChange,
  ): Promise<Answer<ReturnMapping>> {
    return this.alter(ctx, id, ifMatch, { retired });
  }
}
