import { Injectable } from '@nestjs/common';
import type { DutyRuleSet as DutyRuleSetRow } from '../../../generated/prisma/client.js';
import type { Page, PageQuery } from '../../../platform/pagination.js';
import { untilFree } from '../../../production/shared/number-retry.js';
import { dateOf } from '../../../production/shared/local-day.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { fromJson, toJson } from '../../../tenancy/settings/stored-json.js';
import { checkRuleSet } from '../rules/check-rule-set.js';
import { NOT_ADVICE } from '../rules/rule-set.js';
import { RuleSetReader, toRuleSet } from './rule-set.reader.js';
import type { DutyRuleSet, DutyRuleSetRequest, StartingPointSummary } from './rule-sets.dto.js';
import { NewDutyRuleSet } from './rule-sets.dto.js';
import { roundingGroundsOf } from '../starting-points/rounding-grounds.js';
import { STARTING_POINTS } from '../starting-points/starting-points.js';

const toDutyRuleSet = (row: Omit<DutyRuleSetRow, 'producerId'>): DutyRuleSet => ({
  id: row.id,
  number: row.number,
  ruleSet: fromJson(NewDutyRuleSet, 'duty_rule_set.document', row.document),
  advice: NOT_ADVICE,
  ...(row.personId === null ? {} : { personId: row.personId }),
  ...(row.keyId === null ? {} : { keyId: row.keyId }),
  createdAt: row.createdAt.toISOString(),
});

/** A producer's rules of duty, in versions. */
@Injectable()
export class RuleSetsService {
  constructor(
    private readonly store: SettingsStore,
    private readonly database: ProducerDatabase,
    private readonly ruleSets: RuleSetReader,
  ) {}

  list(ctx: RequestContext, query: PageQuery): Promise<Page<DutyRuleSet>> {
    return this.store.list<DutyRuleSetRow, DutyRuleSet>(ctx, 'dutyRuleSet', query, toDutyRuleSet);
  }

  async get(ctx: RequestContext, id: string): Promise<DutyRuleSet> {
    return toDutyRuleSet(await this.store.get<DutyRuleSetRow>(ctx, 'dutyRuleSet', id));
  }

  startingPoints(): Page<StartingPointSummary> {
    return {
      items: STARTING_POINTS.map((each) => ({
        ...each,
        rounding: roundingGroundsOf(each).map((ground) => ({ ...ground })),
        advice: NOT_ADVICE,
      })),
      next: null,
    };
  }

  async create(ctx: RequestContext, { personId, ...body }: DutyRuleSetRequest): Promise<Answer<DutyRuleSet>> {
    // As JSON: what is kept is what will be read back.
    const document = toJson(body);
    checkRuleSet(toRuleSet(document));
    return untilFree(async () => {
      const last = await this.database.read(ctx, async (tx) => {
        await requirePerson(tx, ctx.producerId, personId, '/personId');
        return this.ruleSets.lastNumber(tx, ctx.producerId);
      });
      const row = {
        id: this.store.newId(),
        number: last + 1,
        validFrom: dateOf(body.validFrom),
        document,
        personId: personId ?? null,
        keyId: ctx.principalId,
        createdAt: this.store.now(),
      };
      const answer = toDutyRuleSet(row);
      return this.store.create(ctx, {
        action: 'duty-rule-sets.create',
        records: [{ table: 'dutyRuleSet', data: row }],
        facts: { ...answer },
        body: answer,
        headers: { location: `/v1/duty-rule-sets/${row.id}` },
      });
    });
  }
}
