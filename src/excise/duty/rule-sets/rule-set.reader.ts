import { Injectable } from '@nestjs/common';
import type { DutyRuleSet as DutyRuleSetRow } from '../../../generated/prisma/client.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { NamedRuleSet, RuleSet } from '../rules/rule-set.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import { NewDutyRuleSet } from './rule-sets.dto.js';
import { DEFAULT_RULE_SET } from '../starting-points/plain.js';

/** A kept document as the rules that were written. @throws Error where it does not hold a rule set */
export const toRuleSet = (document: DutyRuleSetRow['document']): RuleSet =>
  fromJson(NewDutyRuleSet, 'duty_rule_set.document', document);

/** Reads a producer's rules of duty. */
@Injectable()
export class RuleSetReader {
  /** In the order in which they were made, after the plain set that holds until the first of them does. */
  async all(tx: Tx, producerId: string): Promise<NamedRuleSet[]> {
    const rows = await tx.rows('dutyRuleSet', { producerId }, { orderBy: [['number', 'asc']] });
    return [
      DEFAULT_RULE_SET,
      ...rows.map(({ id, number, document, createdAt, personId, keyId }) => ({
        id,
        version: String(number),
        document: toRuleSet(document),
        entered: { at: createdAt, personId, keyId },
      })),
    ];
  }

  /** First day on which one of those that were entered after a moment is in force, as YYYY-MM-DD. */
  async firstDayOfThoseMadeAfter(tx: Tx, producerId: string, moment: Date): Promise<string | undefined> {
    const rows = await tx.$queryRaw<{ day: string | null }[]>`
      SELECT min(valid_from)::text AS day FROM duty_rule_set
       WHERE producer_id = ${producerId}::uuid AND created_at > ${moment}::timestamptz`;
    return rows[0].day ?? undefined;
  }

  async lastNumber(tx: Tx, producerId: string): Promise<number> {
    const row = await tx.row('dutyRuleSet', { producerId }, { orderBy: [['number', 'desc']] });
    return row?.number ?? 0;
  }
}
