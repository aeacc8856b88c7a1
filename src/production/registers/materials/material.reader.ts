import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { findRow } from '../../shared/references.js';
import type { Material } from './materials.dto.js';
import { toMaterial } from './materials.dto.js';

/** Reads materials for all other features. */
@Injectable()
export class MaterialReader {
  async row(tx: Tx, producerId: string, id: string): Promise<Material | undefined> {
    const row = await findRow(tx, producerId, 'material', { id });
    return row === undefined ? undefined : toMaterial(row);
  }

  async ofIds(tx: Tx, producerId: string, ids: readonly string[]): Promise<ReadonlyMap<string, Material>> {
    const rows = ids.length === 0 ? [] : await tx.rows('material', { producerId, id: ids });
    return new Map(rows.map((row) => [row.id, toMaterial(row)]));
  }
}
