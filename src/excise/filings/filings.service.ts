import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { headSequence } from '../../ledger/books/head.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader, requireStanding } from '../../ledger/periods/period.reader.js';
import { Clock } from '../../platform/clock.js';
import { requirePerson } from '../../tenancy/people/person.reader.js';
import type { Plan } from '../../tenancy/producer-database/batch.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import type { Filing, Filings, NewFiling } from './filings.dto.js';
import type { FilingRow } from './filings.reader.js';
import { FilingsReader } from './filings.reader.js';
import { requireFileable } from './filings.rules.js';

const toFiling = ({ amends, personId, note, ...row }: FilingRow, period: PeriodRow): Filing => ({
  ...row,
  periodId: period.id,
  reportHash: period.reportHash ?? '',
  ...(amends === null ? {} : { amends }),
  ...(personId === null ? {} : { personId }),
  ...(note === null ? {} : { note }),
});

/** Enters that a closed period's report was filed, and lists its filings. */
@Injectable()
export class FilingsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly periods: PeriodReader,
    private readonly filings: FilingsReader,
  ) {}

  list(ctx: RequestContext, periodId: string): Promise<Filings> {
    return this.database.read(ctx, async (tx) => {
      const period = await this.#period(tx, ctx, periodId);
      const rows = await this.filings.of(tx, ctx.producerId, periodId);
      return { items: rows.map((row) => toFiling(row, period)) };
    });
  }

  /** @throws ProblemException `not-found`, and what `requireFileable` refuses */
  file(ctx: RequestContext, periodId: string, body: NewFiling): Promise<Answer<Filing>> {
    return this.database.write(ctx, {
      read: async (tx) => {
        await requirePerson(tx, ctx.producerId, body.personId, '/personId');
        return {
          period: await this.#period(tx, ctx, periodId),
          filed: await this.filings.of(tx, ctx.producerId, periodId),
          head: await headSequence(tx, ctx.producerId),
        };
      },
      plan: ({ period, filed, head }) => {
        requireFileable(body, period, filed, this.clock.now());
        return { ...filingPlan(ctx, body, period), head };
      },
    });
  }

  async #period(tx: Tx, { producerId }: RequestContext, id: string): Promise<PeriodRow> {
    return requireStanding((await this.periods.row(tx, producerId, id)) ?? notFound());
  }
}

function filingPlan({ principalId }: RequestContext, body: NewFiling, period: PeriodRow): Plan<Filing> {
  const { note } = body;
  const textId = note === undefined ? null : uuidv7();
  const row = {
    id: uuidv7(),
    filedOn: body.filedOn,
    reference: body.reference,
    amends: body.amends ?? null,
    personId: body.personId ?? null,
    keyId: principalId,
  };
  return {
    batch: {
      action: 'filings.enter',
      rows: { filing: [{ ...row, periodId: period.id, textId }] },
      ...(textId === null || note === undefined ? {} : { personalText: [{ id: textId, text: note }] }),
    },
    answer: new Answer(201, toFiling({ ...row, note: note ?? null }, period)),
  };
}
