import { Injectable } from '@nestjs/common';
import type { Premises as PremisesRow } from '../../generated/prisma/client.js';
import type { Page, PageQuery } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { etagOf, SettingsStore } from '../settings/settings-store.js';
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
export class PremisesService {
  constructor(private readonly store: SettingsStore) {}

  list(ctx: RequestContext, query: PageQuery): Promise<Page<Premises>> {
    return this.store.list<PremisesRow, Premises>(ctx, 'premises', query, toPremises);
  }

  row(ctx: RequestContext, id: string): Promise<PremisesRow> {
    return this.store.get<PremisesRow>(ctx, 'premises', id);
  }

  async create(ctx: RequestContext, body: NewPremises): Promise<Answer<Premises>> {
    if (!isTimeZone(body.timeZone)) {
      throw new ProblemException('validation-failed', 'The time zone is not an IANA time zone.', {
        errors: [{ pointer: '/timeZone', rule: 'time-zone', detail: 'Give an IANA name such as Europe/London.' }],
      });
    }
    const row = {
      id: this.store.newId(),
      name: body.name,
      timeZone: body.timeZone,
      approvals: (body.approvals ?? []).map((approval) => ({ ...approval })),
      createdAt: this.store.now(),
    };
    const wire = toPremises({ ...row, producerId: ctx.producerId, retiredAt: null, version: 1 });
    return this.store.create(ctx, {
      action: 'premises.create',
      records: [{ table: 'premises', data: row }],
      facts: { ...wire },
      body: wire,
      headers: { etag: etagOf(1), location: `/v1/premises/${row.id}` },
    });
  }

  change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    body: PremisesChange,
  ): Promise<Answer<Premises>> {
    const { retired, approvals, ...rest } = body;
    return this.store.change<PremisesRow, Premises>(ctx, {
      table: 'premises',
      action: 'premises.change',
      id,
      ifMatch,
      changes: {
        ...rest,
        ...(approvals === undefined ? {} : { approvals: approvals.map((approval) => ({ ...approval })) }),
        ...(retired === undefined ? {} : { retiredAt: retired ? this.store.now() : null }),
      },
      toAnswer: toPremises,
    });
  }
}
