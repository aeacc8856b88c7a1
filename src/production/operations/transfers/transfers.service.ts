import { Injectable } from '@nestjs/common';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { drawnFrom, minus, NOTHING } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { countedComponents, drawnComponents, withoutComponents } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { Explained } from '../../../ledger/corrections/explanations.js';
import { explanationOf, ExplanationReader } from '../../../ledger/corrections/explanations.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { eventAnswer } from '../../shared/event.js';
import { liquidAt } from '../../measuring/position/vessel-liquid.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { malformed, referenced } from '../../shared/references.js';
import type { NewTransfer, TransferAnswer } from './transfers.dto.js';

interface TransferRead {
  readonly position: LotPosition;
  readonly standing: CompositionPosition | undefined;
  readonly toPremisesId: string;
  readonly explained: Explained | undefined;
}

/** Liquid from one vessel to another, with what was lost on the way; the composition stays what it is. */
@Injectable()
export class TransfersService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
    private readonly explanations: ExplanationReader,
  ) {}

  transfer(ctx: RequestContext, lotId: string, body: NewTransfer): Promise<Answer<TransferAnswer>> {
    if (body.fromVesselId === body.toVesselId) {
      throw malformed({ pointer: '/toVesselId', rule: 'same-vessel', detail: 'A transfer goes to another vessel.' });
    }
    return this.events.write(ctx, body, {
      read: (tx, head) => this.read(tx, ctx.producerId, lotId, body, head.occurredAt),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewTransfer, at: Date): Promise<TransferRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.fromVesselId, '/fromVesselId');
    const to = await referenced(tx, producerId, 'vessel', body.toVesselId, '/toVesselId');
    return {
      position,
      standing: await this.positions.inVessel(tx, producerId, body.toVesselId),
      toPremisesId: to.premisesId,
      explained:
        body.explains === undefined
          ? undefined
          : await this.explanations.of(
              tx,
              producerId,
              body.explains,
              at,
              ({ vesselId, compositionId }) =>
                vesselId === body.fromVesselId &&
                position.compositions.some(({ composition }) => composition.id === compositionId),
            ),
    };
  }

  private plan(
    body: NewTransfer,
    { position, standing, toPremisesId, explained }: TransferRead,
    head: EventHead,
  ): Plan<TransferAnswer> {
    const { target, account } = liquidAt(position, body.fromVesselId, explained);
    const { composition } = target;
    requirePlace(composition, toPremisesId, standing);
    const { drawn, lost, components, lostComponents } = draw(body, account);
    const received = minus(drawn, lost);
    const place = account.account;
    const subject = { category: position.lot.category, lotId: position.lot.id, compositionId: composition.id };
    const transfer = {
      ...head,
      kind: 'transfer',
      timing: 'draw' as const,
      premisesId: place.premisesId,
      lotId: position.lot.id,
      compositionId: composition.id,
      explains: body.explains,
      document: {
        fromVesselId: body.fromVesselId,
        toVesselId: body.toVesselId,
        drawnLitres: drawn.litres.toFixed(),
        lossLitres: lost.litres.toFixed(),
      },
    };
    const to = liquidAccount(place, composition.id, body.toVesselId);
    const lossTo = nominalAccount(place, body.lossKind ?? 'process-loss', position.lot.category);
    const draft = new OperationDraft(transfer)
      .move(account.account, to, received, subject, withoutComponents(components, lostComponents))
      .move(account.account, lossTo, lost, subject, lostComponents);
    const counter = explained === undefined ? [] : [explanationOf(draft, explained, subject)];
    return {
      batch: { action: 'transfers.transfer', ...booksOf(draft, ...counter) },
      reads: readsOf(account),
      answer: new Answer(201, {
        ...eventAnswer(transfer, received, []),
        loss: { value: lost.litres.toNumber(), unit: 'L' },
      }),
    };
  }
}

function requirePlace(
  { id, premisesId }: CompositionPosition['composition'],
  toPremisesId: string,
  standing: CompositionPosition | undefined,
): void {
  if (toPremisesId !== premisesId) {
    throw new ProblemException('conflict', 'The two vessels are at different premises.', {
      errors: [{ pointer: '/toVesselId', rule: 'other-premises', detail: 'Send the liquid there by a transit.' }],
    });
  }
  if (standing !== undefined && standing.composition.id !== id) {
    const detail = 'Empty it first, use another vessel, or enter a blend.';
    throw new ProblemException('vessel-in-use', `The vessel holds lot ${standing.composition.lotCode}.`, {
      errors: [{ pointer: '/toVesselId', rule: 'vessel-in-use', detail }],
    });
  }
}

/** Liquid that is drawn from the vessel, and the part of it that is lost. */
interface Drawn {
  readonly drawn: Amount;
  readonly lost: Amount;
  readonly components: Components;
  readonly lostComponents: Components;
}

/** @throws ProblemException `insufficient-stock` */
function draw(body: NewTransfer, { balance, components }: StockAccount): Drawn {
  const litres = body.volume === undefined ? balance.litres : toBookLitres(body.volume).litres;
  const lossLitres = body.loss === undefined ? NOTHING.litres : toBookLitres(body.loss).litres;
  if (litres.greaterThan(balance.litres) || lossLitres.greaterThan(litres)) {
    const held = `The vessel holds ${balance.litres.toFixed()} L by the books`;
    const wanted = `${litres.toFixed()} L were asked for, ${lossLitres.toFixed()} L of them lost`;
    const detail = 'Check volume and loss, or gauge the vessel first.';
    throw new ProblemException('insufficient-stock', `${held}; ${wanted}.`, {
      errors: [{ pointer: '/volume', rule: 'insufficient-stock', detail }],
      members: { bookLitres: balance.litres.toNumber() },
    });
  }
  const drawn = drawnFrom(balance, litres);
  const drawnUncertainty = drawnComponents(components, balance, litres);
  return {
    drawn,
    lost: lossLitres.isZero() ? NOTHING : drawnFrom(drawn, lossLitres),
    components: drawnUncertainty,
    lostComponents: countedComponents(drawnUncertainty, drawn, lossLitres),
  };
}
