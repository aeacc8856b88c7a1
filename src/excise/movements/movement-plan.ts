import { uuidv7 } from 'uuidv7';
import { nominalAccount } from '../../ledger/books/account.js';
import type { AccountKey } from '../../ledger/books/account.js';
import { drawnFrom, pureAlcohol } from '../../ledger/books/amount.js';
import type { Amount } from '../../ledger/books/amount.js';
import { drawnComponents } from '../../ledger/books/components.js';
import { toLitres } from '../../ledger/books/litres.dto.js';
import type { OperationHead } from '../../ledger/books/operation-draft.js';
import { booksOf, OperationDraft } from '../../ledger/books/operation-draft.js';
import { readsOf } from '../../ledger/books/stock.reader.js';
import type { Explained } from '../../ledger/corrections/explanations.js';
import { explanationOf } from '../../ledger/corrections/explanations.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { ContainerEvent, FollowedLot } from '../../production/operations/containers/container-events.js';
import { drawnRows, requireSerials } from '../../production/operations/containers/container-events.js';
import type { EventHead } from '../../ledger/books/event.js';
import type { Flag } from '../../production/shared/flag.dto.js';
import { localDay } from '../../production/shared/local-day.js';
import { malformed } from '../../production/shared/references.js';
import type { Facts, Plan } from '../../tenancy/producer-database/batch.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { DutyBasisRead, MovementDutyFacts } from './duty-strength.js';
import { dutyStrengthOf } from './duty-strength.js';
import type { ReturnTarget } from './return-target.js';
import type { Matched } from './matched.js';
import type { CorrectedDuty } from './movement-periods.js';
import type { MovementKind } from './movement-kinds.js';
import { containerEventOf, MOVEMENT_RULES } from './movement-kinds.js';
import type { MovementSource } from './source.js';
import { packedSubject } from './movement-source.js';
import { toMovementDuty, toReturnedFrom } from './movement.mapper.js';
import type { Evidence, Movement, NewMovement } from './movements.dto.js';

export interface MovementRead {
  readonly source: MovementSource;
  readonly period: PeriodRow;
  /** None for a kind by which duty never falls due. */
  readonly dutyBasis: DutyBasisRead | undefined;
  /** Given if it corrects a movement of a closed period. */
  readonly corrected: CorrectedDuty | undefined;
  /** Doubts about the entry. */
  readonly flags: readonly Flag[];
}

/** Goods of one movement, out of stock or back. */
export interface Moved {
  readonly stock: AccountKey;
  readonly subject: MovementSource['subject'];
  readonly litres: Decimal;
  readonly moved: Amount;
  readonly nominalLitres: string | undefined;
  readonly explained: Explained | undefined;
  readonly followed: FollowedLot | undefined;
  /** Declared strength and strength for duty, where duty falls due. */
  readonly duty: MovementDutyFacts | undefined;
  /** Of a return. */
  readonly returnedFrom?: Matched;
  /** Doubts about the entry. */
  readonly flags?: readonly Flag[];
  /** Event of its containers, where the kind does not say it. */
  readonly containerEvent?: ContainerEvent;
  readonly rests: Pick<Plan<unknown>, 'reads' | 'head'>;
  build(head: OperationHead): OperationDraft;
}

/** Out of stock, to the nominal account of the kind. */
export function movementPlan(
  ctx: RequestContext,
  body: NewMovement,
  head: EventHead,
  { source, period, corrected, dutyBasis, flags }: MovementRead,
): Plan<Movement> {
  const { account, subject, litres } = source;
  const rule = MOVEMENT_RULES[body.kind];
  const moved = drawnFrom(account.balance, litres);
  requireDutyStatus(body.kind, account.account);
  const declared = declaredWhereDue(body, source);
  const dutyDate =
    declared === null
      ? ''
      : dutyDateOf(body.dutyDate ?? corrected?.dutyDate, head.occurredAt, corrected?.period ?? period);
  return planOf(ctx, body, head, {
    stock: account.account,
    subject,
    litres,
    moved,
    nominalLitres: source.nominalLitres,
    explained: source.explained,
    followed: source.followed,
    duty:
      declared === null || dutyBasis === undefined
        ? undefined
        : {
            dutyDate,
            declaredStrength: canonicalText(declared),
            ...dutyStrengthOf(dutyBasis, {
              category: subject.category,
              dutyDate,
              litres,
              declaredPercent: declared,
            }),
          },
    flags,
    rests: { reads: readsOf(account) },
    build: (head) =>
      new OperationDraft(head).move(
        account.account,
        nominalAccount(account.account, rule.nominal, subject.category),
        moved,
        subject,
        drawnComponents(account.components, account.balance, litres),
      ),
  });
}

/** Back into the packaged lot. Alcohol returns pro rata of what is outstanding; the last return brings the rest. */
export function returnPlan(
  ctx: RequestContext,
  body: NewMovement,
  head: EventHead,
  { lot, account, litres, outstanding, explained, followed, returnedFrom, head: trail }: ReturnTarget,
): Plan<Movement> {
  const subject = packedSubject(lot);
  const moved = drawnFrom(outstanding.balance, litres);
  return planOf(ctx, body, head, {
    stock: account,
    subject,
    litres,
    moved,
    nominalLitres: lot.nominalLitres,
    explained,
    followed,
    duty: undefined,
    returnedFrom,
    rests: { head: trail },
    build: (facts) =>
      new OperationDraft(facts).move(
        nominalAccount(account, MOVEMENT_RULES.return.nominal, subject.category),
        account,
        moved,
        subject,
        drawnComponents(outstanding.components, outstanding.balance, litres),
      ),
  });
}

/** @throws ProblemException `conflict` for what duty was paid on going out under suspension; `not-packed` for a material that duty would fall due on */
function requireDutyStatus(kind: MovementKind, { dutyStatus, materialLotId }: AccountKey): void {
  if (kind === 'dispatch-suspended' && dutyStatus === 'paid') {
    const detail = 'Duty was paid on it: it cannot go out under suspension. Release it; no duty falls due again.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer: '/kind', rule: 'duty-paid', detail }] });
  }
  if (kind === 'release' && materialLotId !== undefined && dutyStatus !== 'paid') {
    const detail = 'A material is released only where its duty was paid before; this one is under suspension.';
    throw new ProblemException('not-packed', detail, {
      errors: [{ pointer: '/materialLotId', rule: 'not-packed', detail }],
    });
  }
}

/** The declared strength where duty falls due and was not paid before. @throws ProblemException `not-packed`, `validation-failed` */
function declaredWhereDue(body: NewMovement, source: MovementSource): Decimal | null {
  const rule = MOVEMENT_RULES[body.kind];
  if (rule.takes === 'packed-or-serving' && source.vesselKind !== undefined) {
    if (source.vesselKind !== 'serving-tank') {
      throw new ProblemException('not-packed', 'Only what is packed, or stands in a serving tank, can go this way.', {
        errors: [{ pointer: '/vesselId', rule: 'not-packed', detail: 'Give packagedLotId and count.' }],
      });
    }
    if (body.declaredStrength === undefined) {
      const detail = 'Give the strength that is declared for what the serving tank gives.';
      throw malformed({ pointer: '/declaredStrength', rule: 'required', detail });
    }
  }
  if (rule.duty !== 'point' || source.account.account.dutyStatus === 'paid') {
    return null;
  }
  return new Exact(source.declaredStrengthPercent ?? body.declaredStrength?.value ?? 0);
}

/** The day of duty: as given, within the period of the event, or the local day of the event. */
function dutyDateOf(given: string | undefined, occurredAt: Date, period: PeriodRow): string {
  if (given === undefined) {
    return localDay(occurredAt, period.timeZone);
  }
  if (given < period.startsOn || given >= period.endsBefore) {
    const detail = `The duty date has to lie in the period of the event, from ${period.startsOn} and before ${period.endsBefore}.`;
    throw new ProblemException('out-of-range', detail, {
      errors: [{ pointer: '/dutyDate', rule: 'in-period', detail }],
    });
  }
  return given;
}

/** The same properties without those that are undefined. */
const withoutUndefined = <T extends object>(values: T): Partial<T> =>
  Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as Partial<T>;

const evidenceOf = (evidence: Evidence | undefined): Record<string, string> =>
  Object.fromEntries(Object.entries(evidence ?? {}).filter(([, value]) => value !== undefined)) as Record<
    string,
    string
  >;

/** A text about a person, which stands outside the trail. */
const personalText = (text: string | undefined): { id: string; text: string }[] =>
  text === undefined ? [] : [{ id: uuidv7(), text }];

/** Properties of the request that the operation's document and the answer both carry. */
const namedGoods = ({ packagedLotId, materialLotId, count, serials, vesselId, lostFrom }: NewMovement) =>
  withoutUndefined({ packagedLotId, materialLotId, count, serials, vesselId, lostFrom });

/** Doubts of the entry, as document and answer carry them. */
const flagsOf = ({ flags = [] }: Moved): { flags?: Flag[] } =>
  flags.length === 0 ? {} : { flags: flags.map((each) => ({ ...each })) };

/** Facts of the event, as the document of the operation keeps them. */
function documentOf(body: NewMovement, evidence: Record<string, string>, moved: Moved): Facts {
  const { nominalLitres, stock, duty, returnedFrom } = moved;
  const { volume, investigatedBy } = body;
  return {
    movement: body.kind,
    evidence,
    ...namedGoods(body),
    ...withoutUndefined({ investigatedBy }),
    ...(body.packagedLotId === undefined ? {} : { nominalLitres }),
    ...(volume === undefined ? {} : { volume: { value: volume.value, unit: volume.unit } }),
    ...(duty === undefined ? {} : { duty: { ...duty } }),
    ...(returnedFrom === undefined ? {} : { returnedFrom: { ...returnedFrom } }),
    ...flagsOf(moved),
    ...paidOf(stock),
  };
}

const paidOf = ({ dutyStatus }: AccountKey): { dutyStatus?: 'paid' } => (dutyStatus === 'paid' ? { dutyStatus } : {});

function answerOf(body: NewMovement, head: EventHead, evidence: Record<string, string>, moved: Moved): Movement {
  const { subject, litres, stock } = moved;
  const { lotId, compositionId } = subject;
  const { reasonCode, explains, investigatedBy } = body;
  return {
    id: head.id,
    kind: body.kind,
    premisesId: stock.premisesId,
    occurredAt: head.occurredAt.toISOString(),
    litres: toLitres(litres),
    litresOfPureAlcohol: toLitres(pureAlcohol(moved.moved)),
    ...toMovementDuty(moved.duty, canonicalText(litres)),
    ...toReturnedFrom(moved.returnedFrom),
    ...flagsOf(moved),
    evidence,
    ...namedGoods(body),
    ...withoutUndefined({ lotId, compositionId, reasonCode, investigatedBy, personId: head.personId, explains }),
    ...paidOf(stock),
  };
}

/** The report takes the declared strength from here, and makes the strength for duty of it again. */
const dutyColumns = (duty: MovementDutyFacts | undefined) =>
  duty === undefined
    ? { dutyDate: null, strengthForDutyPercent: null }
    : { dutyDate: duty.dutyDate, strengthForDutyPercent: duty.declaredStrength };

export function planOf(ctx: RequestContext, body: NewMovement, head: EventHead, moved: Moved): Plan<Movement> {
  const { subject, litres, explained } = moved;
  requireSerials(moved.followed, body.serials, body.count ?? 1);
  const evidence = evidenceOf(body.evidence);
  const counterparty = personalText(body.counterparty);
  const witness = personalText(body.witness);
  const { packagedLotId, materialLotId, count, reasonCode, explains, serials } = body;
  const draft = moved.build({
    ...head,
    kind: 'movement',
    timing: 'draw',
    premisesId: moved.stock.premisesId,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    keyId: ctx.principalId,
    reasonCode,
    explains,
    document: documentOf(body, evidence, moved),
  });
  const counter = explained === undefined ? [] : [explanationOf(draft, explained, subject)];
  const row = {
    operationId: head.id,
    kind: body.kind,
    packagedLotId: packagedLotId ?? null,
    compositionId: subject.compositionId ?? null,
    materialLotId: materialLotId ?? null,
    count: count ?? null,
    litres: canonicalText(litres),
    ...dutyColumns(moved.duty),
    counterpartyTextId: counterparty.at(0)?.id ?? null,
    witnessTextId: witness.at(0)?.id ?? null,
    evidence,
  };
  const containers = {
    operationId: head.id,
    event: moved.containerEvent ?? containerEventOf(body.kind),
    packagedLotId,
    litres,
    isMeasured: body.volume !== undefined,
  };
  return {
    batch: {
      action: 'movements.create',
      ...booksOf(draft, ...counter),
      rows: { movement: [row], containerEvent: drawnRows(moved.followed, serials, containers) },
      personalText: [...counterparty, ...witness],
    },
    ...moved.rests,
    answer: new Answer(201, answerOf(body, head, evidence, moved), { location: `/v1/movements/${head.id}` }),
  };
}
