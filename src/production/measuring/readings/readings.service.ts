import { Injectable } from '@nestjs/common';
import { Clock } from '../../../platform/clock.js';
import type { Page } from '../../../platform/pagination.js';
import { filteredList, pageOf } from '../../../platform/pagination.js';
import { instantRule } from '../../../platform/validation/instant.js';
import { idRule } from '../../../platform/validation/text-rules.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { positionOf } from '../../shared/cursor.js';
import { LotReader } from '../../lots/lot.reader.js';
import { ReadingDrafts } from './reading-drafts.js';
import { ReadingReader, toReading } from './reading.reader.js';
import { withConfirmations } from './reading-flags.js';
import type { ReadingDoubt } from './reading-flags.js';
import type { ReadingRow } from './reading.reader.js';
import type { NewConfirmation, NewReading, ReadingQuery, Reading } from './readings.dto.js';

/** Readings as they were read; one is struck, never changed. */
@Injectable()
export class ReadingsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly lots: LotReader,
    private readonly readings: ReadingReader,
    private readonly drafts: ReadingDrafts,
  ) {}

  async list(ctx: RequestContext, lotId: string, query: ReadingQuery): Promise<Page<Reading>> {
    const { limit, cursor, ...filter } = query;
    const list = filteredList(`reading/${lotId}`, query);
    const position = cursor === undefined ? undefined : positionOf(list, cursor, [instantRule, idRule]);
    const after = position === undefined ? undefined : { takenAt: position[0], id: position[1] };
    const rows = await this.database.read(ctx, async (tx) =>
      (await this.lots.row(tx, ctx.producerId, lotId)) === undefined
        ? notFound()
        : this.readings.ofLot(tx, ctx.producerId, lotId, { ...filter, after }, limit + 1),
    );
    return pageOf(list, rows, limit, (row) => [row.takenAt.toISOString(), row.id], toReading);
  }

  get(ctx: RequestContext, id: string): Promise<Reading> {
    return this.database.read(ctx, async (tx) =>
      toReading((await this.readings.row(tx, ctx.producerId, id)) ?? notFound()),
    );
  }

  /** @throws ProblemException `not-found`; `conflict` for a doubt that the reading has not, or that was confirmed before */
  confirm(ctx: RequestContext, id: string, { confirm, personId }: NewConfirmation): Promise<Answer<Reading>> {
    const by = { keyId: ctx.principalId, ...(personId === undefined ? {} : { personId }) };
    return this.database.write(ctx, {
      read: async (tx) => {
        await requirePerson(tx, ctx.producerId, personId, '/personId');
        const row = (await this.readings.row(tx, ctx.producerId, id)) ?? notFound();
        requireOpenDoubts(row, confirm);
        return row;
      },
      plan: (row) => ({
        batch: {
          action: 'readings.confirm',
          rows: {
            readingConfirmation: confirm.map((code) => ({
              readingId: id,
              code,
              keyId: ctx.principalId,
              personId: personId ?? null,
            })),
          },
        },
        answer: new Answer(
          201,
          toReading({ ...row, confirmed: [...row.confirmed, ...confirm.map((code) => ({ code, ...by }))] }),
        ),
      }),
    });
  }

  create(ctx: RequestContext, lotId: string, body: NewReading): Promise<Answer<Reading>> {
    const takenAt = this.drafts.checked(body) ?? this.clock.now();
    return this.database.write(ctx, {
      read: async (tx) => {
        const lot = (await this.lots.row(tx, ctx.producerId, lotId)) ?? notFound();
        return this.drafts.prepare(tx, ctx.producerId, body, { lot, takenAt, keyId: ctx.principalId });
      },
      plan: ({ row, read, personalText, given }) => ({
        batch: { action: 'readings.create', rows: { reading: [row] }, facts: given, personalText },
        answer: new Answer(201, toReading(read), { location: `/v1/readings/${read.id}` }),
      }),
    });
  }
}

function requireOpenDoubts({ doubts, confirmed }: ReadingRow, codes: readonly ReadingDoubt[]): void {
  const open = withConfirmations(doubts, confirmed)
    .filter(({ confirmedBy }) => confirmedBy === undefined)
    .map(({ code }) => code);
  codes.forEach((code, index) => {
    if (!open.includes(code)) {
      const detail =
        open.length === 0
          ? 'Nothing of this reading waits for a confirmation.'
          : `This doubt does not wait for a confirmation; of this reading there wait: ${open.join(', ')}.`;
      throw new ProblemException('conflict', detail, {
        errors: [{ pointer: `/confirm/${index}`, rule: 'no-such-doubt', detail }],
      });
    }
  });
}
