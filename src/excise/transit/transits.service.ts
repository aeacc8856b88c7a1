import { Injectable } from '@nestjs/common';
import { nominalAccount, packagedAccount, transitAccount } from '../../ledger/books/account.js';
import { drawnFrom, minus, NOTHING } from '../../ledger/books/amount.js';
import { drawnComponents, NO_COMPONENTS, withoutComponents } from '../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../ledger/books/operation-draft.js';
import { readsOf } from '../../ledger/books/stock.reader.js';
import { EventWriter } from '../../ledger/corrections/event-writer.js';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import { Clock } from '../../platform/clock.js';
import type { Page } from '../../platform/pagination.js';
import { idCursor, pageOf } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { eventParts } from '../../production/events.js';
import { malformed, referenced } from '../../production/references.js';
import type { Plan } from '../../tenancy/door/batch.js';
import { Answer } from '../../tenancy/door/batch.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import { Door } from '../../tenancy/door/door.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import type { MovementSource } from '../movements/movement-source.js';
import { MovementSources } from '../movements/movement-source.js';
import type { ArrivalRead } from './sent.reader.js';
import { refused, SentReader } from './sent.reader.js';
import type { TransitRow } from './transit.reader.js';
import { TransitReader, transitWire } from './transit.reader.js';
import type { NewArrival, NewTransit, TransitQuery, TransitWire } from './transits.dto.js';

/** Packed goods from one premises to another: the sender's stock until they arrive, what does not arrive the sender's loss. */
@Injectable()
export class TransitsService {
  constructor(
    private readonly door: Door,
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly transits: TransitReader,
    private readonly sources: MovementSources,
    private readonly sent: SentReader,
  ) {}

  async list(ctx: RequestContext, { cursor, limit, state }: TransitQuery): Promise<Page<TransitWire>> {
    const after = idCursor('transits', cursor);
    const rows = await this.door.read(ctx, (tx) =>
      this.transits.page(tx, ctx.producerId, state ?? null, after, limit + 1),
    );
    return pageOf('transits', rows, limit, ({ id }) => [id], transitWire);
  }

  async get(ctx: RequestContext, id: string): Promise<TransitWire> {
    const row = await this.door.read(ctx, (tx) => this.transits.row(tx, ctx.producerId, id));
    return row === undefined ? notFound() : transitWire(row);
  }

  send(ctx: RequestContext, body: NewTransit): Promise<Answer<TransitWire>> {
    const event = eventParts(body, this.clock.now());
    const goods = {
      packagedLotId: body.packagedLotId,
      count: body.count,
      volume: undefined,
      premisesId: body.fromPremisesId,
      dutyStatus: 'suspended' as const,
    };
    return this.events.write(ctx, body, {
      read: async (tx) => {
        await referenced(tx, ctx.producerId, 'premises', body.toPremisesId, '/toPremisesId');
        const asked = { occurredAt: event.head.occurredAt, explains: undefined };
        return this.sources.of(tx, ctx.producerId, goods, asked);
      },
      plan: (source) => sendPlan(ctx, body, event, source),
    });
  }

  arrive(ctx: RequestContext, id: string, body: NewArrival): Promise<Answer<TransitWire>> {
    const event = eventParts(body, this.clock.now());
    return this.events.write(ctx, body, {
      read: (tx) => this.sent.of(tx, ctx.producerId, id),
      plan: (read) => arrivalPlan(ctx, body, event, read),
    });
  }
}

type Event = ReturnType<typeof eventParts>;

function sendPlan(ctx: RequestContext, body: NewTransit, event: Event, source: MovementSource): Plan<TransitWire> {
  const { account, subject, litres } = source;
  const { head, personalText } = event;
  const { premisesId } = account.account;
  if (premisesId === body.toPremisesId) {
    throw refused('/toPremisesId', 'same-premises', 'The goods stand there already.');
  }
  const draft = new OperationDraft({
    ...head,
    kind: 'transit',
    timing: 'draw',
    premisesId,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    keyId: ctx.principalId,
    document: {
      packagedLotId: body.packagedLotId,
      count: body.count,
      toPremisesId: body.toPremisesId,
      document: body.document,
    },
  }).move(
    account.account,
    transitAccount(account.account, body.packagedLotId, head.id),
    drawnFrom(account.balance, litres),
    subject,
    drawnComponents(account.components, account.balance, litres),
  );
  const row: TransitRow = {
    id: head.id,
    packagedLotId: body.packagedLotId,
    fromPremisesId: premisesId,
    toPremisesId: body.toPremisesId,
    occurredAt: head.occurredAt,
    count: body.count,
    litres: canonicalText(litres),
    document: body.document,
    reversed: false,
    arrivalId: null,
    arrivedAt: null,
    arrivedCount: null,
    lossLitres: null,
    arrivalReason: null,
  };
  return {
    batch: {
      action: 'transits.send',
      ...booksOf(draft),
      rows: {
        transit: [
          {
            operation_id: head.id,
            packaged_lot_id: body.packagedLotId,
            from_premises_id: premisesId,
            to_premises_id: body.toPremisesId,
            count: body.count,
            litres: row.litres,
            document: body.document,
          },
        ],
      },
      personalText,
    },
    reads: readsOf(account),
    answer: new Answer(201, transitWire(row), { location: `/v1/transits/${head.id}` }),
  };
}

function arrivalPlan(ctx: RequestContext, body: NewArrival, event: Event, read: ArrivalRead): Plan<TransitWire> {
  const { transit, account, subject, nominalLitres } = read;
  const { head, personalText } = event;
  requireArrivable(body, transit, head.occurredAt);
  const { balance, components } = account;
  const litres = new Exact(nominalLitres).times(body.count);
  const received = body.count === 0 ? NOTHING : drawnFrom(balance, litres);
  const receivedComponents = body.count === 0 ? NO_COMPONENTS : drawnComponents(components, balance, litres);
  const lost = minus(balance, received);
  const from = account.account;
  const to = { premisesId: transit.toPremisesId, owner: from.owner, dutyStatus: from.dutyStatus };
  const lossLitres = canonicalText(lost.litres);
  const draft = new OperationDraft({
    ...head,
    kind: 'transit-arrival',
    timing: 'draw',
    premisesId: transit.toPremisesId,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    keyId: ctx.principalId,
    reasonCode: body.reasonCode,
    document: { transitId: transit.id, packagedLotId: transit.packagedLotId, count: body.count, lossLitres },
  })
    .move(from, nominalAccount(from, 'premises-moves', subject.category), received, subject, receivedComponents)
    .move(
      nominalAccount(to, 'premises-moves', subject.category),
      packagedAccount(to, transit.packagedLotId),
      received,
      subject,
      receivedComponents,
    )
    .move(
      from,
      nominalAccount(from, 'transit-loss', subject.category),
      lost,
      subject,
      withoutComponents(components, receivedComponents),
    );
  const arrived: TransitRow = {
    ...transit,
    arrivalId: head.id,
    arrivedAt: head.occurredAt,
    arrivedCount: body.count,
    lossLitres,
    arrivalReason: body.reasonCode ?? null,
  };
  return {
    batch: { action: 'transits.arrive', ...booksOf(draft), personalText },
    reads: readsOf(account),
    answer: new Answer(201, transitWire(arrived), { location: `/v1/transits/${transit.id}` }),
  };
}

/** @throws ProblemException `insufficient-stock` for more than was sent; `validation-failed` for less without a reason; `conflict` before it was sent */
function requireArrivable(body: NewArrival, transit: TransitRow, at: Date): void {
  if (body.count > transit.count) {
    const detail = `${transit.count} were sent, and ${body.count} are said to have arrived.`;
    throw new ProblemException('insufficient-stock', detail, {
      errors: [{ pointer: '/count', rule: 'more-than-sent', detail }],
      members: { sent: transit.count },
    });
  }
  if (body.count < transit.count && body.reasonCode === undefined) {
    throw malformed({ pointer: '/reasonCode', rule: 'required', detail: 'Say why fewer arrived than were sent.' });
  }
  if (at < transit.occurredAt) {
    throw refused('/occurredAt', 'before-sent', `It was sent at ${transit.occurredAt.toISOString()}.`);
  }
}
