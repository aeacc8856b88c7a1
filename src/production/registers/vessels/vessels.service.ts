import { Injectable } from '@nestjs/common';
import type { Vessel as VesselRow } from '../../../generated/prisma/client.js';
import { canonicalText } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBookLitres } from '../../../metrology/units.js';
import type { Page } from '../../../platform/pagination.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { etagOf, SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { referencedInUse } from '../../shared/references.js';
import type { NewVessel, VesselChange, VesselQuery, Vessel } from './vessels.dto.js';
import { toVessel } from './vessels.dto.js';

/** The capacity as it was given, and in litres as the books count them. */
const capacityColumns = (capacity: Quantity | undefined) => {
  if (capacity === undefined) {
    return {};
  }
  const { value, unit } = capacity;
  return { capacityL: canonicalText(toBookLitres(capacity).litres), details: { capacity: { value, unit } } };
};

@Injectable()
export class VesselsService {
  constructor(
    private readonly store: SettingsStore,
    private readonly database: ProducerDatabase,
  ) {}

  list(ctx: RequestContext, query: VesselQuery): Promise<Page<Vessel>> {
    const where = query.premisesId === undefined ? {} : { premisesId: query.premisesId };
    return this.store.list<VesselRow, Vessel>(ctx, 'vessel', query, toVessel, where);
  }

  async get(ctx: RequestContext, id: string): Promise<Vessel> {
    return toVessel(await this.store.get<VesselRow>(ctx, 'vessel', id));
  }

  async create(ctx: RequestContext, body: NewVessel): Promise<Answer<Vessel>> {
    const { premisesId, name, kind, capacity } = body;
    await this.database.read(ctx, (tx) => referencedInUse(tx, ctx.producerId, 'premises', premisesId, '/premisesId'));
    const row = {
      id: this.store.newId(),
      premisesId,
      name,
      kind,
      details: {},
      ...capacityColumns(capacity),
      createdAt: this.store.now(),
    };
    const wire = toVessel({ ...row, version: 1, retiredAt: null });
    return this.store.create(ctx, {
      action: 'vessels.create',
      records: [{ table: 'vessel', data: row }],
      facts: { ...wire },
      body: wire,
      headers: { etag: etagOf(1), location: `/v1/vessels/${row.id}` },
    });
  }

  async change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    body: VesselChange,
  ): Promise<Answer<Vessel>> {
    const { retired, capacity, ...rest } = body;
    if (retired === true) {
      await this.requireEmpty(ctx, id);
    }
    return this.store.change<VesselRow, Vessel>(ctx, {
      table: 'vessel',
      action: 'vessels.change',
      id,
      ifMatch,
      changes: {
        ...rest,
        ...capacityColumns(capacity),
        ...(retired === undefined ? {} : { retiredAt: retired ? this.store.now() : null }),
      },
      toAnswer: toVessel,
    });
  }

  private async requireEmpty(ctx: RequestContext, id: string): Promise<void> {
    const held = await this.database.read(
      ctx,
      (tx) => tx.$queryRaw<unknown[]>`
        SELECT 1 FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
         WHERE a.producer_id = ${ctx.producerId}::uuid AND a.vessel_id = ${id}::uuid AND a.side = 'stock' AND b.litres > 0 LIMIT 1`,
    );
    if (held.length > 0) {
      throw new ProblemException('in-use', 'The books hold liquid in this vessel; empty it first.', {
        errors: [{ pointer: '/retired', rule: 'empty', detail: 'Only an empty vessel is retired.' }],
      });
    }
  }
}
