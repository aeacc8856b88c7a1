import { Injectable } from '@nestjs/common';
import type { EventHead } from '../../../ledger/books/event.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { liquidIn, requireOfRecord } from '../../measuring/position/vessel-liquid.js';
import { requirePlan } from '../../shared/plan-reference.js';
import { referenced } from '../../shared/references.js';
import { mixtureAnswer } from '../composition/mixture-answer.js';
import { NewComposition } from '../composition/new-composition.js';
import { requireWaterOrTarget } from '../composition/water.js';
import { mixDilution } from './dilution-mix.js';
import type { DilutionAnswer, NewDilution } from './dilutions.dto.js';

/** Water into a vessel: a new composition with the same alcohol, whose strength follows from its parts. */
@Injectable()
export class DilutionsService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
  ) {}

  dilute(ctx: RequestContext, lotId: string, body: NewDilution): Promise<Answer<DilutionAnswer>> {
    requireWaterOrTarget(body);
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewDilution): Promise<LotPosition> {
    await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    await requirePlan(tx, producerId, body.planId, 'dilution', lotId);
    return this.positions.ofLot(tx, producerId, lotId);
  }

  private plan(body: NewDilution, position: LotPosition, head: EventHead): Plan<DilutionAnswer> {
    const { lot } = position;
    const { vesselId } = body;
    const { target, account } = liquidIn(position, vesselId);
    const finding = requireOfRecord(target);
    const { water, mixed } = mixDilution(body, account, finding, `operation/${head.id}`);
    const waterL = water.amount.litres;
    const result = new NewComposition({ head, kind: 'dilution', lot, place: account.account, vesselId });
    const operation = result.operation({
      kind: 'dilution',
      timing: 'change',
      document: {
        vesselId,
        fromCompositionId: target.composition.id,
        targetStrength: body.targetStrength ?? null,
        waterL: waterL.toFixed(),
        volumeChangeL: mixed.volumeChange.toFixed(),
        warnings: mixed.warnings,
        planId: body.planId ?? null,
      },
    });
    const draft = new OperationDraft(operation);
    draft.move(account.account, result.account, account.balance, result.subject, account.components);
    result.receive(draft, 'liquid-added', water.amount, water.components);
    result.receiveVolumeChange(draft, mixed);
    const { warnings } = mixed;
    result.find(mixed.finding, {
      standing: 'of-record',
      inputs: { from: finding.id, waterL: waterL.toFixed() },
      warnings,
    });
    return {
      batch: { action: 'dilutions.dilute', ...booksOf(draft), rows: result.rows },
      reads: readsOf(account),
      answer: new Answer(201, {
        ...mixtureAnswer(operation, mixed),
        findingId: String(result.findingId),
        water: { value: waterL.toNumber(), unit: 'L' },
      }),
    };
  }
}
