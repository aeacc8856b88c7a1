import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import type { Page } from '../../platform/pagination.js';
import { idCursor, pageOf } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { headSequence } from '../books/head.js';
import { latestEnd, periodEdges } from './period-edges.js';
import type { PeriodRow } from './period.reader.js';
import { PeriodReader } from './period.reader.js';
import type { NewPeriod, PeriodQuery, Period } from './periods.dto.js';
import { toPeriod } from './periods.dto.js';

const refused = (pointer: string, rule: string, detail: string): ProblemException =>
  new ProblemException('out-of-range', detail, { errors: [{ pointer, rule, detail }] });

@Injectable()
export class PeriodsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly periods: PeriodReader,
  ) {}

  async list(ctx: RequestContext, { cursor, limit, premisesId }: PeriodQuery): Promise<Page<Period>> {
    const after = idCursor('periods', cursor);
    const rows = await this.database.read(ctx, (tx) =>
      this.periods.page(tx, ctx.producerId, after, limit + 1, premisesId ?? null),
    );
    return pageOf('periods', rows, limit, (row) => [row.id], toPeriod);
  }

  async get(ctx: RequestContext, id: string): Promise<Period> {
    const row = await this.database.read(ctx, (tx) => this.periods.row(tx, ctx.producerId, id));
    return row === undefined ? notFound() : toPeriod(row);
  }

  /** Opens the next period of a premises; it follows on the last one without a gap. */
  open(ctx: RequestContext, body: NewPeriod): Promise<Answer<Period>> {
    const { premisesId, startsOn, endsBefore } = body;
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
      }),
      plan: ({ timeZone, last, head }) => {
        const row = this.#row(body, timeZone, last);
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
          answer: new Answer(201, toPeriod(row), { location: `/v1/periods/${row.id}` }),
        };
      },
    });
  }

  #row({ premisesId, startsOn, endsBefore }: NewPeriod, timeZone: string, last: PeriodRow | undefined): PeriodRow {
    if (last !== undefined && last.endsBefore !== startsOn) {
      throw new ProblemException(
        'conflict',
        `The last period of the premises ends before ${last.endsBefore}; the next one starts on that day.`,
        { errors: [{ pointer: '/startsOn', rule: 'follows-on', detail: `Start on ${last.endsBefore}.` }] },
      );
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
    };
  }

  async #timeZone(tx: Tx, ctx: RequestContext, premisesId: string): Promise<string> {
    const premises = await tx.premises.findFirst({ where: { producerId: ctx.producerId, id: premisesId } });
    if (premises === null) {
      const detail = 'Nothing is found under this id.';
      throw new ProblemException('not-found', detail, {
        errors: [{ pointer: '/premisesId', rule: 'not-found', detail }],
      });
    }
    return premises.timeZone;
  }
}
