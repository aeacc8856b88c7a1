import { Injectable } from '@nestjs/common';
import type { ReturnMapping as ReturnMappingRow } from '../../../generated/prisma/client.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import { RuleSetReader } from '../../duty/rule-sets/rule-set.reader.js';
import type { KnownNames } from '../rules/check-mapping.js';
import type { ReturnMapping } from '../rules/mapping.js';
import { NewReturnMapping } from './return-mappings.dto.js';

/** A kept document as the mapping that was written. @throws Error where it does not hold one */
export const toMapping = (document: ReturnMappingRow['document']): ReturnMapping =>
  fromJson(NewReturnMapping, 'return_mapping.document', document);

/** Reads what a mapping may name. */
@Injectable()
export class ReturnMappingReader {
  constructor(private readonly ruleSets: RuleSetReader) {}

  /** Categories of the producer's lots and accounts, and of its duty rules. */
  async known(tx: Tx, producerId: string): Promise<KnownNames> {
    const rows = await tx.$queryRaw<{ category: string }[]>`
      SELECT category FROM lot WHERE producer_id = ${producerId}::uuid
      UNION SELECT category FROM account WHERE producer_id = ${producerId}::uuid AND category IS NOT NULL
      ORDER BY category`;
    const sets = await this.ruleSets.all(tx, producerId);
    const codes = sets.flatMap(({ document }) => document.categories.map(({ code }) => code));
    return { categories: rows.map(({ category }) => category), dutyCategories: [...new Set(codes)] };
  }

  async lastNumber(tx: Tx, producerId: string, name: string): Promise<number> {
    const row = await tx.row('returnMapping', { producerId, name }, { orderBy: [['number', 'desc']] });
    return row?.number ?? 0;
  }
}
