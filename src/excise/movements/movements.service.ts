import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { nominalAccount } from '../../ledger/books/account.js';
import { drawnFrom, pureAlcohol } from '../../ledger/books/amount.js';
import { drawnComponents } from '../../ledger/books/components.js';
import { litresWire } from '../../ledger/books/litres.dto.js';
import { booksOf, OperationDraft } from '../../ledger/books/operation-draft.js';
import { readsOf } from '../../ledger/books/stock.reader.js';
import { EventWriter } from '../../ledger/corrections/event-writer.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import { Clock } from '../../platform/clock.js';
import type { Page } from '../../platform/pagination.js';
import { decodeCursor, pageOf } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { EventParts } from '../../production/events.js';
import { eventParts } from '../../production/events.js';
import { localDay } from '../../production/local-day.js';
import { malformed } from '../../production/references.js';
import type { Plan } from '../../tenancy/door/batch.js';
import { Answer } from '../../tenancy/door/batch.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import { Door } from '../../tenancy/door/door.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import type { MovementRule, Need } from './movement-kinds.js';
import { missingNeeds, MOVEMENT_RULES } from './movement-kinds.js';
import { MovementReader } from './movement.reader.js';
import type { MovementSource } from './movement-source.js';
import { goodsOf, isPacked, MovementSources } from './movement-source.js';
import { dutyWire, movementWire } from './movement-wire.js';
import type { Evidence, MovementQuery, MovementWire, NewMovement } from './movements.dto.js';

interface MovementRead {
  readonly source: MovementSource;
  readonly period: PeriodRow;
}

/** Goods out of stock: from the account that they stand on to the nominal account of their kind. */
@Injectable()
export class MovementsService {
  constructor(
    private readonly door: Door,
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly movements: MovementReader,
    private readonly sources: MovementSources,
    private readonly periods: PeriodReader,
  ) {}

  async list(ctx: RequestContext, { cursor, limit, ...filter }: MovementQuery): Promise<Page<MovementWire>> {
    const after = cursor === undefined ? 0 : Number(decodeCursor('movements', cursor, ['number'])[0]);
    const rows = await this.door.read(ctx, (tx) => this.movements.page(tx, ctx.producerId, filter, after, limit + 1));
    return pageOf('movements', rows, limit, (row) => [Number(row.sequence)], movementWire);
  }

  async get(ctx: RequestContext, id: string): Promise<MovementWire> {
    const row = await this.door.read(ctx, (tx) => this.movements.row(tx, ctx.producerId, id));
    return row === undefined ? notFound() : movementWire(row);
  }

  move(ctx: RequestContext, body: NewMovement): Promise<Answer<MovementWire>> {
    const rule = MOVEMENT_RULES[body.kind];
    const goods = goodsOf(body);
    requireNeeds(body, rule);
    if (rule.takes === 'packed' && !isPacked(goods)) {
      throw new ProblemException('not-packed', 'Only what is packed can go this way.', {
        errors: [{ pointer: '/vesselId', rule: 'not-packed', detail: 'Give packagedLotId and count.' }],
      });
    }
    const event = eventParts(body, this.clock.now());
    return this.events.write(ctx, body, {
      read: async (tx) => {
        const source = await this.sources.of(tx, ctx.producerId, goods);
        const { premisesId } = source.account.account;
        const period = await this.periods.covering(tx, ctx.producerId, premisesId, event.head.occurredAt);
        return { source, period: period ?? noPeriod(event.head.occurredAt) };
      },
      plan: (read) => plan(ctx, body, event, read),
    });
  }
}

const noPeriod = (at: Date): never => {
  throw new ProblemException('period-not-open', 'No open period of the premises covers the time.', {
    members: { at: at.toISOString() },
  });
};

function requireNeeds(body: NewMovement, rule: MovementRule): void {
  const values: Readonly<Record<Need, string | undefined>> = {
    occurredAt: body.occurredAt,
    reasonCode: body.reasonCode,
    counterparty: body.counterparty,
    'evidence/document': body.evidence?.document,
    'evidence/method': body.evidence?.method,
  };
  const errors = missingNeeds(body.kind, (need) => values[need] !== undefined).map((each) => ({
    ...each,
    rule: 'required',
  }));
  if (body.dutyDate !== undefined && rule.duty !== 'point') {
    errors.push({ pointer: '/dutyDate', rule: 'no-duty-point', detail: 'No duty falls due by this kind.' });
  }
  if (errors.length > 0) {
    throw malformed(...errors);
  }
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

const evidenceOf = (evidence: Evidence | undefined): Record<string, string> =>
  Object.fromEntries(Object.entries(evidence ?? {}).filter(([, value]) => value !== undefined)) as Record<
    string,
    string
  >;

function plan(ctx: RequestContext, body: NewMovement, event: EventParts, read: MovementRead): Plan<MovementWire> {
  const { source, period } = read;
  const { account, subject, litres } = source;
  const rule = MOVEMENT_RULES[body.kind];
  const { head } = event;
  const { premisesId } = account.account;
  const taken = drawnFrom(account.balance, litres);
  const strength =
    rule.duty === 'point' && source.declaredStrengthPercent !== undefined
      ? canonicalText(new Exact(source.declaredStrengthPercent))
      : null;
  const dutyDate = strength === null ? null : dutyDateOf(body.dutyDate, head.occurredAt, period);
  const evidence = evidenceOf(body.evidence);
  const counterparty = body.counterparty === undefined ? undefined : { id: uuidv7(), text: body.counterparty };
  const { packagedLotId, count, vesselId, volume, reasonCode } = body;
  const draft = new OperationDraft({
    ...head,
    kind: 'movement',
    timing: 'draw',
    premisesId,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    keyId: ctx.principalId,
    reasonCode,
    document: {
      movement: body.kind,
      evidence,
      ...(packagedLotId === undefined ? {} : { packagedLotId, count, nominalLitres: source.nominalLitres }),
      ...(vesselId === undefined ? {} : { vesselId, volume: { value: volume?.value, unit: volume?.unit } }),
    },
  }).move(
    account.account,
    nominalAccount(account.account, rule.nominal, subject.category),
    taken,
    subject,
    drawnComponents(account.components, account.balance, litres),
  );
  const row = {
    operation_id: head.id,
    kind: body.kind,
    packaged_lot_id: packagedLotId ?? null,
    composition_id: subject.compositionId,
    count: count ?? null,
    litres: canonicalText(litres),
    duty_date: dutyDate,
    strength_for_duty_percent: strength,
    counterparty_text_id: counterparty?.id ?? null,
    evidence,
  };
  const wire: MovementWire = {
    id: head.id,
    kind: body.kind,
    premisesId,
    occurredAt: head.occurredAt.toISOString(),
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    litres: litresWire(litres),
    litresOfPureAlcohol: litresWire(pureAlcohol(taken)),
    ...dutyWire(dutyDate, strength, row.litres),
    evidence,
    ...(packagedLotId === undefined ? {} : { packagedLotId, count }),
    ...(vesselId === undefined ? {} : { vesselId }),
    ...(reasonCode === undefined ? {} : { reasonCode }),
    ...(head.personId === undefined ? {} : { personId: head.personId }),
  };
  return {
    batch: {
      action: 'movements.create',
      ...booksOf(draft),
      rows: { movement: [row] },
      personalText: [...event.personalText, ...(counterparty === undefined ? [] : [counterparty])],
    },
    reads: readsOf(account),
    answer: new Answer(201, wire, { location: `/v1/movements/${head.id}` }),
  };
}
