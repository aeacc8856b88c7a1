import { Injectable } from '@nestjs/common';
import { Clock } from '../../../platform/clock.js';
import type { Page } from '../../../platform/pagination.js';
import { filteredList, pageOf } from '../../../platform/pagination.js';
import { instantRule } from '../../../platform/validation/instant.js';
import { idRule } from '../../../platform/validation/text-rules.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { positionOf } from '../../shared/cursor.js';
import { LotReader } from '../../lots/lot.reader.js';
import { ReadingDrafts } from './reading-drafts.js';
import { ReadingReader, toReading } from './reading.reader.js';
import type { NewReading, ReadingQuery, Reading } from './readings.dto.js';

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
