import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import { amount } from '../../../ledger/books/amount.js';
import { volumeComponents } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import { eventAnswer, eventParts } from '../../shared/event.js';
import type { EventAnswer } from '../../shared/event.dto.js';
import type { VesselMeasure } from '../../measuring/volumes/vessel-volume.reader.js';
import { VesselVolumeReader } from '../../measuring/volumes/vessel-volume.reader.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { requireSameOwner } from '../../shared/owner.js';
import { referenced } from '../../shared/references.js';
import { extractOfLot } from '../../measuring/position/gravity-readings.js';
import { GravityReadings } from '../../measuring/position/gravity-readings.js';
import type { WashCharge } from './charges.dto.js';

interface WashRead {
  readonly position: LotPosition;
  readonly standing: CompositionPosition | undefined;
  readonly measure: VesselMeasure;
  readonly extractPlato: number | undefined;
}

/** A vessel that holds something takes no new charge: that would be a blend. */
export function requireEmpty(standing: CompositionPosition | undefined, pointer: string): void {
  if (standing !== undefined) {
    throw new ProblemException('vessel-in-use', `The vessel holds lot ${standing.composition.lotCode} already.`, {
      errors: [
        { pointer, rule: 'vessel-in-use', detail: 'Empty it first, or blend.', lot: standing.composition.lotId },
      ],
    });
  }
}

/** Wort or wash collected into a vessel: litres from the process, no alcohol yet. */
@Injectable()
export class WashChargeService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly positions: PositionReader,
    private readonly volumes: VesselVolumeReader,
    private readonly gravities: GravityReadings,
  ) {}

  charge(ctx: RequestContext, lotId: string, body: WashCharge): Promise<Answer<EventAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body),
      plan: (read) => this.plan(body, read),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: WashCharge): Promise<WashRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    const at = eventParts(body, this.clock.now()).head.occurredAt;
    for (const [index, { materialLotId }] of (body.materials ?? []).entries()) {
      const pointer = `/materials/${index}/materialLotId`;
      const material = await referenced(tx, producerId, 'materialLot', materialLotId, pointer);
      requireSameOwner(position.lot.owner, material.owner, pointer);
    }
    return {
      position,
      standing: await this.positions.inVessel(tx, producerId, body.vesselId),
      measure: await this.volumes.measure(tx, producerId, body.vesselId, body, at),
      extractPlato: extractOfLot(position, await this.gravities.ofLot(tx, producerId, lotId)),
    };
  }

  private plan(body: WashCharge, { position, standing, measure, extractPlato }: WashRead): Plan<EventAnswer> {
    requireEmpty(standing, '/vesselId');
    const { lot } = position;
    const { head, personalText } = eventParts(body, this.clock.now());
    const measured = VesselVolumeReader.litres(
      body,
      measure,
      { kind: 'wort', extractPlato: extractPlato ?? 0 },
      `operation/${head.id}`,
    );
    const compositionId = uuidv7();
    const place = { premisesId: measure.vessel.premisesId, owner: lot.owner };
    const subject = { category: lot.category, lotId: lot.id, compositionId };
    const warnings = [
      ...measured.warnings,
      ...(extractPlato === undefined ? ['No gravity of this wort is known: it is taken to expand like water.'] : []),
    ];
    const charge = {
      ...head,
      kind: 'charge',
      timing: 'change' as const,
      premisesId: place.premisesId,
      lotId: lot.id,
      compositionId,
      document: {
        vesselId: body.vesselId,
        asRead: { volume: body.volume, temperature: body.temperature ?? null },
        standardUncertaintyL: measured.standardUncertaintyL,
        materials: (body.materials ?? []).map((used) => ({ ...used })),
        warnings,
      },
    };
    const draft = new OperationDraft(charge).move(
      nominalAccount(place, 'production-in-process', lot.category),
      liquidAccount(place, compositionId, body.vesselId),
      amount(measured.litres),
      subject,
      volumeComponents(measured.byOrigin),
    );
    return {
      batch: {
        action: 'charges.wash',
        ...booksOf(draft),
        rows: {
          composition: [
            compositionRow({
              id: compositionId,
              lotId: lot.id,
              premisesId: place.premisesId,
              kind: 'charge',
              operationId: head.id,
              openedAt: head.occurredAt,
            }),
          ],
        },
        personalText,
      },
      answer: new Answer(201, eventAnswer(charge, amount(measured.litres), warnings)),
    };
  }
}
