import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { Clock } from '../../platform/clock.js';
import type { Page } from '../../platform/pagination.js';
import { filteredList, idCursor, pageOf } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { headSequence } from '../books/head.js';
import type { PeriodDays } from './period-days.js';
import { daysAsked, inWords } from './period-days.js';
import { latestEnd, periodEdges } from './period-edges.js';
import type { PeriodRow } from './period.reader.js';
import { PeriodReader } from './period.reader.js';
import type { NewPeriod, PeriodContext, PeriodQuery, Period } from './periods.dto.js';
import { toPeriod } from './periods.dto.js';

const refused = (pointer: string, rule: string, detail: string): ProblemException =>
  new ProblemException('out-of-range', detail, { errors: [{ pointer, rule, detail }] });

const inUse = (detail: string, period: string): ProblemException =>
  new ProblemException('in-use', detail, { members: { period } });

/** @throws ProblemException `conflict` for one that is withdrawn, `period-closed`, `in-use` for one that is not the last or not empty */
function requireWithdrawable(period: PeriodRow, last: PeriodRow | undefined, used: boolean): void {
  const { id } = period;
  if (period.withdrawn) {
    throw new ProblemException('conflict', 'The period was withdrawn already.', { members: { period: id } });
  }
  if (period.reportId !== null) {
    const detail = 'The period is closed. A closed period stays; enter corrections in an open one.';
    throw new ProblemException('period-closed', detail, { members: { period: id } });
  }
  if (last !== undefined && last.id !== id) {
    throw inUse(`A later period exists, of ${inWords(last)}. Withdraw that one first.`, last.id);
  }
  if (used) {
    const detail =
      'Entries lie in the period, so it cannot be withdrawn. Close it after its end, and open the next one for the days that follow.';
    throw inUse(detail, id);
  }
}

@Injectable()
export class PeriodsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly periods: PeriodReader,
    private readonly settings: SettingsReader,
    private readonly clock: Clock,
  ) {}

  async list(ctx: RequestContext, query: PeriodQuery): Promise<Page<Period>> {
    const { cursor, limit, ...filter } = query;
    const list = filteredList('periods', query);
    const after = idCursor(list, cursor);
    const { rows, context } = await this.database.read(ctx, async (tx) => ({
      rows: await this.periods.page(tx, ctx.producerId, after, limit + 1, filter),
      context: await this.#context(tx, ctx),
    }));
    return pageOf(
      list,
      rows,
      limit,
      (row) => [row.id],
      (row) => toPeriod(row, context),
    );
  }

  get(ctx: RequestContext, id: string): Promise<Period> {
    return this.database.read(ctx, async (tx) => {
      const row = (await this.periods.row(tx, ctx.producerId, id)) ?? notFound();
      return toPeriod(row, await this.#context(tx, ctx));
    });
  }

  async #context(tx: Tx, { producerId }: RequestContext): Promise<PeriodContext> {
    return { now: this.clock.now(), settings: await this.settings.of(tx, producerId) };
  }

  /** Opens the next period of a premises; it follows on the last one without a gap. */
  open(ctx: RequestContext, body: NewPeriod): Promise<Answer<Period>> {
    const { premisesId } = body;
    const days = daysAsked(body);
    const { startsOn, endsBefore } = days;
    if (endsBefore <= startsOn) {
      throw refused('/endsBefore', 'after-start', 'The period ends before a day after its first one.');
    }
    if (endsBefore > latestEnd(startsOn)) {
      throw refused('/endsBefore', 'a-year-at-most', 'A period lasts a year at the most.');
    }
    return this.database.write(ctx, {
      read: async (tx) => ({
        timeZone: await this.#timeZone(tx, ctx, premisesId),
        last: await this.periods.last(tx, ctx.producerId, premisesId),
        head: await headSequence(tx, ctx.producerId),
        context: await this.#context(tx, ctx),
      }),
      plan: ({ timeZone, last, head, context }) => {
        const row = this.#row({ premisesId, ...days }, timeZone, last);
        return {
          batch: {
            action: 'periods.open',
            rows: {
              period: [
                {
                  id: row.id,
                  premisesId: premisesId,
                  startsOn: startsOn,
                  endsBefore: endsBefore,
                  startsAt: row.startsAt.toISOString(),
                  endsAt: row.endsAt.toISOString(),
                  timeZone: timeZone,
                },
              ],
            },
          },
          head,
          answer: new Answer(201, toPeriod(row, context), { location: `/v1/periods/${row.id}` }),
        };
      },
    });
  }

  /**
   * Takes back the last period of a premises, opened by mistake, while nothing was entered in it. Its row stays and covers no moment.
   *
   * @throws ProblemException `not-found`, `period-closed`, `in-use` for one that is not the last or not empty
   */
  withdraw(ctx: RequestContext, id: string): Promise<Answer<Period>> {
    return this.database.write(ctx, {
      read: async (tx) => {
        const period = (await this.periods.row(tx, ctx.producerId, id)) ?? notFound();
        return {
          period,
          last: await this.periods.last(tx, ctx.producerId, period.premisesId),
          used: (await this.periods.used(tx, ctx.producerId, [period])).has(id),
          head: await headSequence(tx, ctx.producerId),
          context: await this.#context(tx, ctx),
        };
      },
      plan: ({ period, last, used, head, context }) => {
        requireWithdrawable(period, last, used);
        return {
          batch: { action: 'periods.withdraw', rows: { periodWithdrawal: [{ periodId: id }] } },
          head,
          answer: new Answer(201, toPeriod({ ...period, withdrawn: true }, context)),
        };
      },
    });
  }

  #row(
    { premisesId, startsOn, endsBefore }: PeriodDays & Pick<NewPeriod, 'premisesId'>,
    timeZone: string,
    last: PeriodRow | undefined,
  ): PeriodRow {
    if (last !== undefined && last.endsBefore !== startsOn) {
      const way =
        startsOn < last.startsOn
          ? ' No period is put before another. If the first one was begun too late and nothing was entered in it, withdraw it (POST /v1/periods/{id}/withdrawal) and begin earlier; else enter what was in stock before it as an opening stock (POST /v1/openings).'
          : '';
      const detail = `The last period of the premises ends before ${last.endsBefore}; the next one starts on that day.${way}`;
      throw new ProblemException('conflict', detail, {
        errors: [{ pointer: '/startsOn', rule: 'follows-on', detail: `Start on ${last.endsBefore}.${way}` }],
      });
    }
    const edges = periodEdges(startsOn, endsBefore, timeZone);
    // The instant that was fixed: rules of a zone may be changed between two periods.
    const startsAt = last?.endsAt ?? edges.startsAt;
    if (edges.endsAt <= startsAt) {
      throw refused(
        '/endsBefore',
        'no-such-days',
        'These days do not exist at the premises; its calendar left them out.',
      );
    }
    return {
      id: uuidv7(),
      premisesId,
      startsOn,
      endsBefore,
      startsAt,
      endsAt: edges.endsAt,
      timeZone,
      reportId: null,
      reportHash: null,
      reportHeadSequence: null,
      closedAt: null,
      withdrawn: false,
      filings: 0,
      filedOn: null,
      lastReport: false,
    };
  }

  async #timeZone(tx: Tx, ctx: RequestContext, premisesId: string): Promise<string> {
    const premises = await tx.row('premises', { producerId: ctx.producerId, id: premisesId });
    if (premises === undefined) {
      const detail = 'Nothing is found under this id.';
      throw new ProblemException('not-found', detail, {
        errors: [{ pointer: '/premisesId', rule: 'not-found', detail }],
      });
    }
    if (premises.retiredAt !== null) {
      const detail = 'The premises are retired. Open periods at others.';
      throw new ProblemException('conflict', detail, { errors: [{ pointer: '/premisesId', rule: 'retired', detail }] });
    }
    return premises.timeZone;
  }
}
