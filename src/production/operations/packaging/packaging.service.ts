import { Injectable } from '@nestjs/common';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ExplanationReader } from '../../../ledger/corrections/explanations.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { referenced } from '../../shared/references.js';
import { DoseReader } from './doses.js';
import type { NewPackaging, PackagingAnswer } from './packaging.dto.js';
import type { PackRead } from './packaging-plan.js';
import { packagingPlan } from './packaging-plan.js';

/** Fills containers from one composition in one run. */
@Injectable()
export class PackagingService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
    private readonly settings: SettingsReader,
    private readonly explanations: ExplanationReader,
    private readonly doses: DoseReader,
  ) {}

  pack(ctx: RequestContext, lotId: string, body: NewPackaging): Promise<Answer<PackagingAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx, head) => this.read(tx, ctx.producerId, lotId, body, head.occurredAt),
      plan: (read, head) => packagingPlan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewPackaging, at: Date): Promise<PackRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    const premises = await referenced(tx, producerId, 'premises', position.lot.premisesId, '/premisesId');
    const explained =
      body.explains === undefined
        ? undefined
        : await this.explanations.of(
            tx,
            producerId,
            body.explains,
            at,
            ({ vesselId, compositionId }) =>
              vesselId === body.vesselId &&
              position.compositions.some(({ composition }) => composition.id === compositionId),
          );
    return {
      position,
      timeZone: premises.timeZone,
      settings: await this.settings.of(tx, producerId),
      explained,
      dosing: await this.doses.of(tx, producerId, body.doses ?? []),
    };
  }
}
