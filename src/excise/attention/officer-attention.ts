import { Injectable } from '@nestjs/common';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { SettingsInForce } from '../../tenancy/producers/producers.dto.js';
import type { AttentionItem } from './attention.dto.js';
import { FilingAttention } from './filing-attention.js';
import { LossAttention } from './loss-attention.js';
import { ProductionAttention } from './production-attention.js';
import { SentAttention } from './sent-attention.js';

/** Finds what an officer would ask about: losses, goods that were sent, filings, and the production of the year. */
@Injectable()
export class OfficerAttention {
  constructor(
    private readonly losses: LossAttention,
    private readonly sent: SentAttention,
    private readonly filings: FilingAttention,
    private readonly production: ProductionAttention,
  ) {}

  async items(tx: Tx, ctx: RequestContext, settings: SettingsInForce, now: Date): Promise<AttentionItem[]> {
    const { producerId } = ctx;
    return [
      ...(await this.losses.items(tx, producerId)),
      ...(await this.sent.items(tx, producerId, settings, now)),
      ...(await this.filings.items(tx, producerId, settings, now)),
      ...(await this.production.items(tx, ctx, settings, now)),
    ];
  }
}
