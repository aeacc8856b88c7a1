import { toJson } from '../../../tenancy/settings/stored-json.js';
import { named, SettingsResource } from '../../../tenancy/settings/resource.service.js';
import type { MaterialColumns } from './materials.dto.js';
import { Injectable } from '@nestjs/common';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { etagOf, requireMatch, SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { malformed } from '../../shared/references.js';
import { hasYield } from '../../../alcoholometry/plans/fermentables.js';
import type { MaterialChange, MaterialFacts, Material, MaterialQuery, NewMaterial } from './materials.dto.js';
import { materialDetails, materialFacts, toMaterial } from './materials.dto.js';

const requireConsistent = ({ fermentable, extractYield }: MaterialFacts): void => {
  if (extractYield !== undefined && (fermentable === undefined || !hasYield(fermentable))) {
    const detail = 'Only malt and malt extract have an extract yield; a sugar dissolves whole.';
    throw malformed({ pointer: '/extractYield', rule: 'yield-of-malt', detail });
  }
};

@Injectable()
export class MaterialsService extends SettingsResource<MaterialColumns, Material> {
  protected readonly table = 'material';
  protected readonly path = 'materials';
  protected readonly toAnswer = toMaterial;

  constructor(store: SettingsStore) {
    super(store);
  }

  protected override where({ name, kind }: MaterialQuery) {
    return { kind, name: named(name) };
  }

  async create(ctx: RequestContext, body: NewMaterial): Promise<Answer<Material>> {
    requireConsistent(body);
    return this.add(ctx, { name: body.name, kind: body.kind, details: toJson(materialDetails(body)) });
  }

  async change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    body: MaterialChange,
  ): Promise<Answer<Material>> {
    const row = await this.row(ctx, id);
    requireMatch(ifMatch, row.version);
    const details = { ...materialFacts(row), ...materialDetails(body) };
    requireConsistent(details);
    const { name, retired } = body;
    return this.alter(ctx, id, etagOf(row.version), {
      ...(name === undefined ? {} : { name }),
      details: toJson(details),
      retired,
    });
  }
}
