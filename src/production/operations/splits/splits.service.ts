import { Injectable } from '@nestjs/common';
import type { Lot } from '../../../generated/prisma/client.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { join } from '../composition/join.js';
import { NewComposition } from '../composition/new-composition.js';
import { eventAnswer } from '../../shared/event.js';
import { liquidIn, requireEmpty } from '../../measuring/position/vessel-liquid.js';
import { receivingLot } from '../../lots/receiving-lot.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { drawFrom, findingNow } from '../../measuring/position/vessel-draw.js';
import { drawMeasure } from '../../measuring/volumes/draw-measure.js';
import { requireSameOwner } from '../../shared/owner.js';
import { malformed, referenced } from '../../shared/references.js';
import type { NewSplit, SplitAnswer } from './splits.dto.js';

interface SplitRead {
  readonly position: LotPosition;
  readonly newLot: Lot;
  readonly standing: CompositionPosition | undefined;
  readonly toPremisesId: string;
}

/** Part of a vessel goes on under a lot of its own. */
@Injectable()
export class SplitsService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
  ) {}

  split(ctx: RequestContext, lotId: string, body: NewSplit): Promise<Answer<SplitAnswer>> {
    if (body.newLotId === lotId) {
      throw malformed({ pointer: '/newLotId', rule: 'same-lot', detail: 'A split goes to another lot.' });
    }
    if (body.fromVesselId === body.toVesselId) {
      throw malformed({ pointer: '/toVesselId', rule: 'same-vessel', detail: 'A split goes to another vessel.' });
    }
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewSplit): Promise<SplitRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.fromVesselId, '/fromVesselId');
    const { premisesId } = await referenced(tx, producerId, 'vessel', body.toVesselId, '/toVesselId');
    return {
      position,
      newLot: await receivingLot(tx, producerId, body.newLotId, '/newLotId'),
      standing: await this.positions.inVessel(tx, producerId, body.toVesselId),
      toPremisesId: premisesId,
    };
  }

  private plan(
    body: NewSplit,
    { position, newLot, standing, toPremisesId }: SplitRead,
    head: EventHead,
  ): Plan<SplitAnswer> {
    const { target, account } = liquidIn(position, body.fromVesselId);
    const { premisesId } = target.composition;
    requirePremises(premisesId, toPremisesId, '/toVesselId');
    requirePremises(premisesId, newLot.premisesId, '/newLotId');
    requireSameOwner(account.account.owner, newLot.owner, '/newLotId');
    requireEmpty(standing, '/toVesselId');
    const litres = body.volume === undefined ? undefined : toBookLitres(body.volume).litres;
    const measure =
      litres === undefined ? undefined : drawMeasure(`operation/${head.id}`, litres, body.standardUncertainty);
    const drawn = drawFrom(target, account, litres, '/volume', measure);
    const { account: place } = account;
    const { inProcess } = drawn;
    const result = new NewComposition({ head, kind: 'split', lot: newLot, place, vesselId: body.toVesselId });
    const operation = result.operation({
      kind: 'split',
      timing: 'draw',
      document: {
        fromLotId: position.lot.id,
        fromCompositionId: target.composition.id,
        fromVesselId: body.fromVesselId,
        toVesselId: body.toVesselId,
        litres: drawn.amount.litres.toFixed(),
      },
    });
    const draft = new OperationDraft(operation);
    join(draft, { ...drawn, account: place }, { account: result.account, subject: result.subject, inProcess });
    const original = findingNow(target);
    if (original !== undefined) {
      result.inherit(original);
    }
    const { findingId } = result;
    return {
      batch: { action: 'splits.split', ...booksOf(draft), rows: result.rows },
      reads: readsOf(account),
      answer: new Answer(201, {
        ...eventAnswer(operation, drawn.amount, []),
        fromCompositionId: target.composition.id,
        inProcess,
        ...(findingId === undefined ? {} : { findingId }),
        category: newLot.category,
      }),
    };
  }
}

function requirePremises(one: string, other: string, pointer: string): void {
  if (one !== other) {
    const detail = 'It is at other premises: send the liquid there by a transit.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'other-premises', detail }] });
  }
}
