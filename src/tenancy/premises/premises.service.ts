import { SettingsResource } from '../settings/resource.service.js';
import { toJsonList } from '../settings/stored-json.js';
import type { PremisesColumns } from './premises.dto.js';
import { Injectable } from '@nestjs/common';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { SettingsStore } from '../settings/settings-store.js';
import type { NewPremises, PremisesChange } from './premises.dto.js';
import { toPremises, Premises } from './premises.dto.js';

const isTimeZone = (name: string): boolean => {
  try {
    // A fixed offset is a valid zone of Intl, but not a place whose clocks change.
    return (
      /^[A-Za-z]/.test(name) && new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone !== ''
    );
  } catch {
    return false;
  }
};

@Injectable()
export class PremisesService extends SettingsResource<PremisesColumns, Premises> {
  protected readonly table = 'premises';
  protected readonly path = 'premises';
  protected readonly toAnswer = toPremises;

  constructor(store: SettingsStore) {
    super(store);
  }

  async create(ctx: RequestContext, body: NewPremises): Promise<Answer<Premises>> {
    if (!isTimeZone(body.timeZone)) {
      throw new ProblemException('validation-failed', 'The time zone is not an IANA time zone.', {
        errors: [{ pointer: '/timeZone', rule: 'time-zone', detail: 'Give an IANA name such as Europe/London.' }],
      });
    }
    const { name, timeZone, approvals = [], address = null } = body;
    return this.add(ctx, { name, timeZone, approvals: toJsonList(approvals), address });
  }

  change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    body: PremisesChange,
  ): Promise<Answer<Premises>> {
    const { approvals, ...rest } = body;
    return this.alter(ctx, id, ifMatch, {
      ...rest,
      ...(approvals === undefined ? {} : { approvals: toJsonList(approvals) }),
    });
  }
}
