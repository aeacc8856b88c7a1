import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { NamedRuleSet, RuleSet } from '../rules/rule-set.js';
import { DEFAULT_RULE_SET } from '../starting-points/plain.js';

/** Reads a producer's rules of duty. */
@Injectable()
export class RuleSetReader {
  /** In the order in which they were made, after the plain set that holds until the first of them does. */
  async all(tx: Tx, producerId: string): Promise<NamedRuleSet[]> {
    const rows = await tx.dutyRuleSet.findMany({ where: { producerId }, orderBy: { number: 'asc' } });
    return [
      DEFAULT_RULE_SET,
      ...rows.map(({ id, number, document }) => ({
        id,
        version: String(number),
        document: document as unknown as RuleSet,
      })),
    ];
  }

  async lastNumber(tx: Tx, producerId: string): Promise<number> {
    const row = await tx.dutyRuleSet.findFirst({ where: { producerId }, orderBy: { number: 'desc' } });
    return row?.number ?? 0;
  }
}
