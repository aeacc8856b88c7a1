import { Injectable } from '@nestjs/common';
import { Clock } from '../../platform/clock.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import type { Attention, AttentionItem, AttentionQuery } from './attention.dto.js';
import { ATTENTION_CODES } from './attention.dto.js';
import { CellarAttention } from './cellar-attention.js';
import { RecordsAttention } from './records-attention.js';

const rank = ({ code }: AttentionItem): number => ATTENTION_CODES.indexOf(code);

/** Urgent matters first; of one kind those without a moment first, then the older. */
const byUrgency = (a: AttentionItem, b: AttentionItem): number =>
  rank(a) - rank(b) || (a.at ?? '').localeCompare(b.at ?? '');

/** Lists what wants a person now. It stores nothing: a matter leaves the list when it is settled. */
@Injectable()
export class AttentionService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly settings: SettingsReader,
    private readonly cellar: CellarAttention,
    private readonly records: RecordsAttention,
  ) {}

  async list(ctx: RequestContext, { premisesId, code }: AttentionQuery): Promise<Attention> {
    const now = this.clock.now();
    const items = await this.database.read(ctx, async (tx) => [
      ...(await this.cellar.items(tx, ctx.producerId)),
      ...(await this.records.items(tx, ctx, await this.settings.of(tx, ctx.producerId), now)),
    ]);
    return {
      at: now.toISOString(),
      items: items
        .filter((item) => code === undefined || item.code === code)
        .filter((item) => premisesId === undefined || item.premisesId === undefined || item.premisesId === premisesId)
        .sort(byUrgency),
    };
  }
}
