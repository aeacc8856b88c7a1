import { named, SettingsResource } from '../../../tenancy/settings/resource.service.js';
import type { VesselColumns } from './vessels.dto.js';
import { Injectable } from '@nestjs/common';
import { canonicalText } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { filteredList, idCursor } from '../../../platform/pagination.js';
import type { Page } from '../../../platform/pagination.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsStore } from '../../../tenancy/settings/settings-store.js';
import type { Flag } from '../../shared/flag.dto.js';
import { ContentsReader } from '../../shared/contents.dto.js';
import { referencedInUse } from '../../shared/references.js';
import type {
  NewVessel,
  NewVesselResult,
  VesselChange,
  VesselQuery,
  Vessel,
  VesselWithContents,
} from './vessels.dto.js';
import { toVessel } from './vessels.dto.js';

/** The capacity as it was given, and in litres as the books count them. */
const capacityColumns = (capacity: Quantity | undefined) => {
  if (capacity === undefined) {
    return {};
  }
  const { value, unit } = capacity;
  return { capacityL: canonicalText(toBookLitres(capacity).litres), details: { capacity: { value, unit } } };
};

const nameInUse = ({ id, name }: Vessel): Flag => ({
  code: 'name-in-use',
  detail: `A vessel of these premises is named ${name} already (/v1/vessels/${id}). If it is the same one, retire this; if not, give one of them another name.`,
});

@Injectable()
export class VesselsService extends SettingsResource<VesselColumns, Vessel> {
  protected readonly table = 'vessel';
  protected readonly path = 'vessels';
  protected readonly toAnswer = toVessel;

  constructor(
    store: SettingsStore,
    private readonly database: ProducerDatabase,
    private readonly contents: ContentsReader,
  ) {
    super(store);
  }

  protected override where({ premisesId, kind, name }: VesselQuery) {
    return { premisesId, kind, name: named(name) };
  }

  override async list(ctx: RequestContext, query: VesselQuery): Promise<Page<VesselWithContents>> {
    const where = { ...this.where(query), ...(await this.inState(ctx, query)) };
    const page = await this.store.list(ctx, this.table, query, toVessel, where);
    return { ...page, items: await this.withContents(ctx, page.items) };
  }

  /** Ids of the vessels in a state, after the cursor of the page. */
  private async inState(ctx: RequestContext, query: VesselQuery): Promise<{ id?: readonly string[] }> {
    if (query.state === undefined) {
      return {};
    }
    const after = idCursor(filteredList(this.table, query), query.cursor);
    const found = await this.database.read(
      ctx,
      (tx) => tx.$queryRaw<{ id: string }[]>`
        SELECT v.id FROM vessel v
         WHERE v.producer_id = ${ctx.producerId}::uuid AND (${after}::uuid IS NULL OR v.id > ${after}::uuid)
           AND ${query.state === 'holding'} = EXISTS (
             SELECT 1 FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
              WHERE a.producer_id = v.producer_id AND a.vessel_id = v.id AND a.side = 'stock' AND b.litres > 0)`,
    );
    return { id: found.map(({ id }) => id) };
  }

  override async get(ctx: RequestContext, id: string): Promise<VesselWithContents> {
    const [vessel] = await this.withContents(ctx, [await super.get(ctx, id)]);
    return vessel;
  }

  async create(ctx: RequestContext, body: NewVessel): Promise<Answer<NewVesselResult>> {
    const { premisesId, name, kind, capacity } = body;
    await this.database.read(ctx, (tx) => referencedInUse(tx, ctx.producerId, 'premises', premisesId, '/premisesId'));
    const namesakes = await super.list(ctx, { premisesId, name, limit: 100 } as VesselQuery);
    const flags = namesakes.items
      .filter(({ retiredAt }) => retiredAt === undefined)
      .slice(0, 1)
      .map(nameInUse);
    const columns = { premisesId, name, kind, details: {}, ...capacityColumns(capacity) };
    return flags.length === 0
      ? this.add(ctx, columns)
      : this.add(ctx, columns, () => ({ records: [], more: { flags } }));
  }

  async change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    body: VesselChange,
  ): Promise<Answer<Vessel>> {
    const { capacity, ...rest } = body;
    if (body.retired === true) {
      await this.requireEmpty(ctx, id);
    }
    return this.alter(ctx, id, ifMatch, { ...rest, ...capacityColumns(capacity) });
  }

  private async withContents(ctx: RequestContext, vessels: readonly Vessel[]): Promise<VesselWithContents[]> {
    const ids = vessels.map(({ id }) => id);
    const contents = await this.database.read(ctx, (tx) => this.contents.ofVessels(tx, ctx.producerId, ids));
    return vessels.map((vessel) => ({ ...vessel, contents: contents.get(vessel.id) ?? { state: 'empty' } }));
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
