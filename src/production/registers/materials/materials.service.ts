import { Injectable } from '@nestjs/common';
import type { Material as MaterialRow } from '../../../generated/prisma/client.js';
import type { Page, PageQuery } from '../../../platform/pagination.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { etagOf, requireMatch, SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { malformed } from '../../shared/references.js';
import { hasYield } from '../../../alcoholometry/plans/fermentables.js';
import type { MaterialChange, MaterialFacts, Material, NewMaterial } from './materials.dto.js';
import { materialDetails, materialFacts, toMaterial } from './materials.dto.js';

const requireConsistent = ({ fermentable, extractYield }: MaterialFacts): void => {
  if (extractYield !== undefined && (fermentable === undefined || !hasYield(fermentable))) {
    const detail = 'Only malt and malt extract have an extract yield; a sugar dissolves whole.';
    throw malformed({ pointer: '/extractYield', rule: 'yield-of-malt', detail });
  }
};

@Injectable()
export class MaterialsService {
  constructor(private readonly store: SettingsStore) {}

  list(ctx: RequestContext, query: PageQuery): Promise<Page<Material>> {
    return this.store.list<MaterialRow, Material>(ctx, 'material', query, toMaterial);
  }

  async get(ctx: RequestContext, id: string): Promise<Material> {
    return toMaterial(await this.store.get<MaterialRow>(ctx, 'material', id));
  }

  async create(ctx: RequestContext, body: NewMaterial): Promise<Answer<Material>> {
    requireConsistent(body);
    const row = {
      id: this.store.newId(),
      name: body.name,
      kind: body.kind,
      details: materialDetails(body),
      createdAt: this.store.now(),
    };
    const wire = toMaterial({ ...row, version: 1, retiredAt: null });
    return this.store.create(ctx, {
      action: 'materials.create',
      records: [{ table: 'material', data: row }],
      facts: { ...wire },
      body: wire,
      headers: { etag: etagOf(1), location: `/v1/materials/${row.id}` },
    });
  }

  async change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    body: MaterialChange,
  ): Promise<Answer<Material>> {
    const row = await this.store.get<MaterialRow>(ctx, 'material', id);
    requireMatch(ifMatch, row.version);
    const details = { ...materialFacts(row), ...materialDetails(body) };
    requireConsistent(details);
    const { name, retired } = body;
    return this.store.change<MaterialRow, Material>(ctx, {
      table: 'material',
      action: 'materials.change',
      id,
      ifMatch: etagOf(row.version),
      changes: {
        ...(name === undefined ? {} : { name }),
        details,
        ...(retired === undefined ? {} : { retiredAt: retired ? this.store.now() : null }),
      },
      toAnswer: toMaterial,
    });
  }
}
