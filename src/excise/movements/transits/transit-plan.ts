import { requireSameOwner } from '../../../production/shared/owner.js';
import type { AccountKey, Subject } from '../../../ledger/books/account.js';
import { bulkTransitAccount, nominalAccount, packagedAccount, transitAccount } from '../../../ledger/books/account.js';
import { drawnFrom, minus, NOTHING } from '../../../ledger/books/amount.js';
import { drawnComponents, NO_COMPONENTS, withoutComponents } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { requireEmpty } from '../../../production/measuring/position/vessel-liquid.js';
import {
  containerRows,
  requireSerialEach,
  requireSerials,
} from '../../../production/operations/containers/container-events.js';
import { NewComposition } from '../../../production/operations/composition/new-composition.js';
import { malformed } from '../../../production/shared/references.js';
import type { Batch, Facts, Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { ProductSource } from '../source.js';
import type { ArrivalRead } from './sent.reader.js';
import { refused } from './sent.reader.js';
import type { TransitRow } from './transit.reader.js';
import { toTransit } from './transit.reader.js';
import type { NewArrival, NewTransit, Transit } from './transits.dto.js';

/** The consignment as it is read until it arrives. */
function sentRow(body: NewTransit, head: EventHead, { account, subject, litres }: ProductSource): TransitRow {
  const { packagedLotId, count, toPremisesId, document } = body;
  return {
    id: head.id,
    packagedLotId: packagedLotId ?? null,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    dutyStatus: account.account.dutyStatus,
    fromPremisesId: account.account.premisesId,
    toPremisesId,
    occurredAt: head.occurredAt,
    count: count ?? null,
    serials: body.serials ?? null,
    litres: canonicalText(litres),
    document,
    reversed: false,
    arrivalId: null,
    arrivedAt: null,
    arrivedCount: null,
    arrivedCompositionId: null,
    lossLitres: null,
    arrivalReason: null,
  };
}

export function sendPlan(ctx: RequestContext, body: NewTransit, head: EventHead, source: ProductSource): Plan<Transit> {
  const { account, subject, litres } = source;
  const { premisesId } = account.account;
  if (premisesId === body.toPremisesId) {
    throw refused('/toPremisesId', 'same-premises', 'The goods stand there already.');
  }
  const { packagedLotId, count, vesselId, serials } = body;
  requireSerials(source.followed, serials, count ?? 0);
  const way =
    packagedLotId === undefined
      ? bulkTransitAccount(account.account, subject.compositionId, head.id)
      : transitAccount(account.account, packagedLotId, head.id);
  const draft = new OperationDraft({
    ...head,
    kind: 'transit',
    timing: 'draw',
    premisesId,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    keyId: ctx.principalId,
    document: {
      ...(packagedLotId === undefined ? { vesselId, litres: canonicalText(litres) } : { packagedLotId, count }),
      ...(serials === undefined ? {} : { serials }),
      ...paidOf(account.account),
      toPremisesId: body.toPremisesId,
      document: body.document,
    },
  }).move(
    account.account,
    way,
    drawnFrom(account.balance, litres),
    subject,
    drawnComponents(account.components, account.balance, litres),
  );
  const row = sentRow(body, head, source);
  return {
    batch: {
      action: 'transits.send',
      ...booksOf(draft),
      rows: {
        transit: [
          {
            operationId: head.id,
            packagedLotId: row.packagedLotId,
            compositionId: packagedLotId === undefined ? subject.compositionId : null,
            fromPremisesId: premisesId,
            toPremisesId: body.toPremisesId,
            count: row.count,
            litres: row.litres,
            document: body.document,
          },
        ],
        containerEvent: containerRows(serials, {
          operationId: head.id,
          event: 'sent',
          packagedLotId,
          litres: litres.dividedBy(serials?.length ?? 1),
        }),
      },
    },
    reads: readsOf(account),
    answer: new Answer(201, toTransit(row), { location: `/v1/transits/${head.id}` }),
  };
}

/** Receiving side of an arrival: account, subject and the rows of the new composition. */
interface Into {
  readonly account: AccountKey;
  readonly subject: Subject;
  readonly litres: Decimal;
  readonly compositionId: string | undefined;
  readonly rows: NonNullable<Batch['rows']>;
}

export function arrivalPlan(ctx: RequestContext, body: NewArrival, head: EventHead, read: ArrivalRead): Plan<Transit> {
  const { transit, account, subject } = read;
  if (head.occurredAt < transit.occurredAt) {
    throw refused('/occurredAt', 'before-sent', `It was sent at ${transit.occurredAt.toISOString()}.`);
  }
  const into = transit.count === null ? bulkInto(body, head, read) : packedInto(body, head, read, transit.count);
  const { balance, components } = account;
  const received = into.litres.isZero() ? NOTHING : drawnFrom(balance, into.litres);
  const receivedComponents = into.litres.isZero() ? NO_COMPONENTS : drawnComponents(components, balance, into.litres);
  const lost = minus(balance, received);
  const lossLitres = canonicalText(lost.litres);
  if (!lost.litres.isZero() && body.reasonCode === undefined) {
    throw malformed({ pointer: '/reasonCode', rule: 'required', detail: 'Say why less arrived than was sent.' });
  }
  const from = account.account;
  const draft = new OperationDraft({
    ...head,
    kind: 'transit-arrival',
    timing: 'draw',
    premisesId: transit.toPremisesId,
    lotId: into.subject.lotId,
    compositionId: into.subject.compositionId,
    keyId: ctx.principalId,
    reasonCode: body.reasonCode,
    document: {
      transitId: transit.id,
      ...arrivedFacts(body, read, into),
      lossLitres,
      ...(body.evidence === undefined ? {} : { evidence: { ...body.evidence } }),
      ...paidOf(from),
    },
  })
    .move(from, nominalAccount(from, 'premises-moves', subject.category), received, subject, receivedComponents)
    .move(
      nominalAccount(into.account, 'premises-moves', subject.category),
      into.account,
      received,
      into.subject,
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
    arrivedCount: body.count ?? null,
    arrivedCompositionId: into.compositionId ?? null,
    lossLitres,
    arrivalReason: body.reasonCode ?? null,
  };
  return {
    batch: { action: 'transits.arrive', ...booksOf(draft), rows: into.rows },
    reads: readsOf(account),
    answer: new Answer(201, toTransit(arrived), { location: `/v1/transits/${transit.id}` }),
  };
}

const arrivedFacts = (body: NewArrival, { transit, subject }: ArrivalRead, into: Into): Facts =>
  into.compositionId === undefined
    ? {
        packagedLotId: transit.packagedLotId,
        count: body.count,
        ...(body.serials === undefined ? {} : { serials: body.serials }),
      }
    : {
        compositionId: into.compositionId,
        fromCompositionId: subject.compositionId,
        vesselId: body.vesselId,
        litres: canonicalText(into.litres),
      };

const paidOf = ({ dutyStatus }: AccountKey): { dutyStatus?: 'paid' } => (dutyStatus === 'paid' ? { dutyStatus } : {});

/** Containers that arrived, and those that were sent and did not. @throws ProblemException `validation-failed` naming how many serials are needed */
function arrivedRows(
  { serials }: NewArrival,
  operationId: string,
  { transit, nominalLitres, followed }: ArrivalRead,
  count: number,
): RowOf<'containerEvent'>[] {
  requireSerials(followed, serials, count);
  requireSerialEach(serials, count);
  const facts = { operationId, packagedLotId: transit.packagedLotId, litres: new Exact(nominalLitres ?? 0) };
  const missing = (transit.serials ?? []).filter((serial) => serials?.includes(serial) !== true);
  return [
    ...containerRows(serials, { ...facts, event: 'arrived' }),
    ...containerRows(missing, { ...facts, event: 'missing' }),
  ];
}

const moreThanSent = (pointer: string, detail: string, sent: number): ProblemException =>
  new ProblemException('insufficient-stock', detail, {
    errors: [{ pointer, rule: 'more-than-sent', detail }],
    members: { sent },
  });

/** @throws ProblemException `insufficient-stock` for more than was sent; `validation-failed` for another form than what was sent has */
function packedInto(body: NewArrival, head: EventHead, read: ArrivalRead, sent: number): Into {
  const { transit, account, subject, nominalLitres } = read;
  const { count, volume, lotId, vesselId } = body;
  if (count === undefined || volume !== undefined || lotId !== undefined || vesselId !== undefined) {
    throw malformed({ pointer: '/count', rule: 'packed', detail: 'Packed goods were sent: give their count alone.' });
  }
  if (count > sent) {
    throw moreThanSent('/count', `${sent} were sent, and ${count} are said to have arrived.`, sent);
  }
  const { owner, dutyStatus } = account.account;
  const place = { premisesId: transit.toPremisesId, owner, dutyStatus };
  return {
    account: packagedAccount(place, String(transit.packagedLotId)),
    subject,
    litres: new Exact(nominalLitres ?? 0).times(count),
    compositionId: undefined,
    rows: { containerEvent: arrivedRows(body, head.id, read, count) },
  };
}

/** @throws ProblemException as for packed goods; `conflict` for a lot or vessel elsewhere or of another category; `vessel-in-use` */
function bulkInto(body: NewArrival, head: EventHead, read: ArrivalRead): Into {
  const { transit, account, subject, receiving, finding } = read;
  const { volume } = body;
  if (volume === undefined || receiving === undefined || finding === undefined || body.count !== undefined) {
    const detail = 'Bulk was sent: give volume, lotId and vesselId.';
    throw malformed({ pointer: '/volume', rule: 'bulk', detail });
  }
  const { lot, vessel, standing } = receiving;
  for (const [pointer, premisesId] of [
    ['/lotId', lot.premisesId],
    ['/vesselId', vessel.premisesId],
  ]) {
    if (premisesId !== transit.toPremisesId) {
      throw refused(pointer, 'other-premises', 'It was sent to other premises.');
    }
  }
  requireSameOwner(account.account.owner, lot.owner, '/lotId');
  if (lot.category !== subject.category) {
    const detail = `What was sent is ${subject.category}: receive it so, and change its category afterwards.`;
    throw refused('/lotId', 'other-category', detail);
  }
  requireEmpty(standing, '/vesselId');
  const { litres } = toBookLitres(volume);
  if (litres.greaterThan(account.balance.litres)) {
    const sent = account.balance.litres.toNumber();
    throw moreThanSent(
      '/volume',
      `${sent} L were sent, and ${canonicalText(litres)} L are said to have arrived.`,
      sent,
    );
  }
  const { owner, dutyStatus } = account.account;
  const place = { premisesId: transit.toPremisesId, owner, dutyStatus };
  const result = new NewComposition({ head, kind: 'split', lot, place, vesselId: vessel.id });
  result.inherit(finding);
  return {
    account: result.account,
    subject: result.subject,
    litres,
    compositionId: result.id,
    rows: result.rows,
  };
}
