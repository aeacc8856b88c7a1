import { Injectable } from '@nestjs/common';
import { amount } from '../../../ledger/books/amount.js';
import { volumeComponents } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { eventAnswer } from '../../shared/event.js';
import type { VesselMeasure } from '../../measuring/volumes/vessel-volume.reader.js';
import { VesselVolumeReader } from '../../measuring/volumes/vessel-volume.reader.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { requireSameOwner } from '../../shared/owner.js';
import { referenced } from '../../shared/references.js';
import { extractOfLot } from '../../measuring/position/gravity-readings.js';
import { GravityReadings } from '../../measuring/position/gravity-readings.js';
import { requireEmpty } from '../../measuring/position/vessel-liquid.js';
import { NewComposition } from '../composition/new-composition.js';
import type { MaterialOnHand } from '../material-stock/material-stock.reader.js';
import { MaterialStockReader } from '../material-stock/material-stock.reader.js';
import { materialUsed } from '../material-stock/material-use.js';
import type { WashCharge, WashChargeAnswer } from './charges.dto.js';

interface WashRead {
  readonly position: LotPosition;
  readonly standing: CompositionPosition | undefined;
  readonly measure: VesselMeasure;
  readonly extractPlato: number | undefined;
  readonly onHand: ReadonlyMap<string, MaterialOnHand>;
}

/** Wort or wash collected into a vessel: litres from the process, no alcohol yet. */
@Injectable()
export class WashChargeService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
    private readonly volumes: VesselVolumeReader,
    private readonly gravities: GravityReadings,
    private readonly materials: MaterialStockReader,
  ) {}

  charge(ctx: RequestContext, lotId: string, body: WashCharge): Promise<Answer<WashChargeAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx, head) => this.read(tx, ctx.producerId, lotId, body, head.occurredAt),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: WashCharge, at: Date): Promise<WashRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
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
      onHand: await this.materials.of(
        tx,
        producerId,
        (body.materials ?? []).map(({ materialLotId }) => materialLotId),
      ),
    };
  }

  private plan(
    body: WashCharge,
    { position, standing, measure, extractPlato, onHand }: WashRead,
    head: EventHead,
  ): Plan<WashChargeAnswer> {
    requireEmpty(standing, '/vesselId');
    const { lot } = position;
    const measured = VesselVolumeReader.litres(
      body,
      measure,
      { kind: 'wort', extractPlato: extractPlato ?? 0 },
      `operation/${head.id}`,
    );
    const place = { premisesId: measure.vessel.premisesId, owner: lot.owner };
    const result = new NewComposition({ head, kind: 'charge', lot, place, vesselId: body.vesselId });
    const warnings = [
      ...measured.warnings,
      ...(extractPlato === undefined ? ['No gravity of this wort is known: it is taken to expand like water.'] : []),
    ];
    const uses = (body.materials ?? []).map(({ materialLotId, mass }) => ({ materialLotId, quantity: mass }));
    const used = materialUsed(head.id, uses, onHand);
    const operation = result.operation({
      kind: 'charge',
      timing: 'change',
      document: {
        vesselId: body.vesselId,
        asRead: { volume: body.volume, temperature: body.temperature ?? null },
        standardUncertainty: { value: measured.standardUncertaintyL, unit: 'L' },
        materials: (body.materials ?? []).map((used) => ({ ...used })),
        warnings,
        flags: used.flags,
      },
    });
    const charged = amount(measured.litres);
    const draft = new OperationDraft(operation);
    result.receive(draft, 'production-in-process', charged, volumeComponents(measured.byOrigin));
    return {
      batch: { action: 'charges.wash', ...booksOf(draft), rows: { ...result.rows, materialEntry: used.rows } },
      answer: new Answer(201, { ...eventAnswer(operation, charged, warnings), flags: [...used.flags] }),
    };
  }
}
