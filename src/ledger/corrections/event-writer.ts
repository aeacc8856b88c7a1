import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { Clock } from '../../platform/clock.js';
import { operationNoun } from '../../platform/words.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Plan } from '../../tenancy/producer-database/batch.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx, Work } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import type { ReasonFacts } from '../../tenancy/reasons/reason.rules.js';
import { requireReasonFacts } from '../../tenancy/reasons/reason.rules.js';
import { requirePerson } from '../../tenancy/people/person.reader.js';
import type { EventBodyFacts, EventHead } from '../books/event.js';
import { eventOf } from '../books/event.js';
import type { Corrects, NewReversal, ReversalAnswer } from './corrections.dto.js';
import { placed } from './place-of.js';
import type { PostedOperation } from './posted-operation.reader.js';
import { correctedPeriodOf, PostedOperationReader } from './posted-operation.reader.js';
import { asCorrection, reversalBooks } from './reversal.js';

/** Properties that every event has besides what happened. */
export interface EventFacts extends EventBodyFacts, ReasonFacts {
  readonly corrects?: Corrects;
  /** Person who looked into a loss. */
  readonly investigatedBy?: string;
}

/** Reading and planning of an event; each attempt has a head of its own, so that an event of now has the time of the attempt. */
export interface EventWork<R, T> {
  read(tx: Tx, head: EventHead): Promise<R>;
  plan(read: R, head: EventHead): Plan<T> | Promise<Plan<T>>;
}

interface EventRead<R> {
  readonly event: ReturnType<typeof eventOf>;
  readonly read: R;
}

const BACK_SINCE_NOW =
  'What it corrects lies in a closed period, so that its reversal counts from now on: leave occurredAt out, or more is asked for than was there then.';

/** Says why there is too little at a moment before the reversal. */
const afterClosing = (error: unknown): unknown =>
  error instanceof ProblemException && error.code === 'insufficient-stock'
    ? new ProblemException(error.code, `${error.message} ${BACK_SINCE_NOW}`, error)
    : error;

/** @throws ProblemException `conflict` where entries without litres stand on what would be reversed */
function requireNothingResting([first]: readonly PostedOperation[]): void {
  if (first === undefined) return;
  const { id, kind, occurredAt } = first;
  const detail = `Another entry was made for the liquid as this one left it: the ${operationNoun(kind)} of ${occurredAt.toISOString()}. Reverse that one first, and enter it again afterwards.`;
  throw new ProblemException('conflict', detail, {
    errors: [{ pointer: '', rule: 'rests-on-it', detail, operation: id }],
  });
}

/** Writes an event; one that puts another right reverses that one first, in the same transaction. */
@Injectable()
export class EventWriter {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly operations: PostedOperationReader,
  ) {}

  async write<R, T>(ctx: RequestContext, body: EventFacts, work: EventWork<R, T>): Promise<Answer<T>> {
    try {
      return await this.writeEvent(ctx, body, work);
    } catch (error) {
      throw placed(error, body);
    }
  }

  private async writeEvent<R, T>(ctx: RequestContext, body: EventFacts, work: EventWork<R, T>): Promise<Answer<T>> {
    const { corrects } = body;
    requireReasonFacts(body, { pointer: '', note: 'note' });
    requireReasonFacts(corrects ?? {}, { pointer: '/corrects', note: 'note' });
    const entry = this.entry(ctx, body, work);
    if (corrects === undefined) {
      return this.database.write(ctx, entry);
    }
    let original: PostedOperation | undefined;
    const reversal = this.reversal(ctx, corrects.operationId, corrects, '/corrects', (found) => {
      original = found;
    });
    const event: Work<EventRead<R>, T> = {
      ...entry,
      plan: async (facts) => {
        const plan = await entry.plan(facts);
        return original === undefined
          ? plan
          : { ...plan, batch: { ...plan.batch, ...asCorrection(plan.batch, original) } };
      },
    };
    try {
      return await this.database.writeChain(ctx, reversal, event);
    } catch (error) {
      throw original?.closedPeriodId === undefined ? error : afterClosing(error);
    }
  }

  reverse(ctx: RequestContext, id: string, body: NewReversal): Promise<Answer<ReversalAnswer>> {
    requireReasonFacts(body, { pointer: '', note: 'note' });
    return this.database.write(ctx, this.reversal(ctx, id, body, ''));
  }

  /** The event without what it corrects; its note goes into the batch. */
  private entry<R, T>(ctx: RequestContext, body: EventFacts, work: EventWork<R, T>): Work<EventRead<R>, T> {
    return {
      read: async (tx) => {
        await requirePerson(tx, ctx.producerId, body.personId, '/personId');
        await requirePerson(tx, ctx.producerId, body.investigatedBy, '/investigatedBy');
        const event = eventOf(body, this.clock.now());
        return { event, read: await work.read(tx, event.head) };
      },
      plan: async ({ event, read }) => {
        const plan = await work.plan(read, event.head);
        const personalText = [...event.personalText, ...(plan.batch.personalText ?? [])];
        return { ...plan, batch: { ...plan.batch, personalText } };
      },
    };
  }

  private reversal(
    ctx: RequestContext,
    id: string,
    body: NewReversal,
    place: string,
    seen: (original: PostedOperation) => void = () => undefined,
  ): Work<readonly PostedOperation[], ReversalAnswer> {
    return {
      read: async (tx: Tx) => {
        await requirePerson(tx, ctx.producerId, body.personId, `${place}/personId`);
        const original = await this.operations.row(tx, ctx.producerId, id);
        if (original === undefined) {
          throw new ProblemException('not-found', 'Nothing is found under this id.', {
            errors: [{ pointer: '/operationId', rule: 'not-found', detail: 'Give the id of an operation.' }],
          });
        }
        requireNothingResting(await this.operations.restingOn(tx, ctx.producerId, original));
        seen(original);
        return [original, ...(await this.operations.together(tx, ctx.producerId, original))];
      },
      plan: (originals) => this.reversalPlan(originals, body),
    };
  }

  /** Plans the reversal. An entry that explains an assertion is reversed with its counter-entry: one alone would contradict the assertion. */
  reversalPlan([original, ...others]: readonly PostedOperation[], body: NewReversal): Plan<ReversalAnswer> {
    if (original.reversedBy !== undefined) {
      throw new ProblemException('conflict', 'The operation has been reversed already.', {
        errors: [
          { pointer: '', rule: 'reversed', detail: 'Nothing is reversed twice.', operation: original.reversedBy },
        ],
      });
    }
    const now = this.clock.now();
    const { head, personalText } = eventOf({ personId: body.personId, note: body.note }, now);
    const { id, noteTextId } = head;
    const facts = { id, reasonCode: body.reasonCode, noteTextId, personId: body.personId, now };
    const reversals = [
      reversalBooks(original, facts),
      ...others.map((other) => reversalBooks(other, { ...facts, id: uuidv7() })),
    ];
    const earlierPeriodId = correctedPeriodOf(original);
    const occurredAt = original.closedPeriodId === undefined ? original.occurredAt : now;
    return {
      batch: {
        action: 'corrections.reverse',
        accounts: reversals.flatMap(({ accounts }) => accounts),
        operations: reversals.flatMap(({ operations }) => operations),
        personalText,
      },
      answer: new Answer(201, {
        operationId: id,
        reverses: original.id,
        kindReversed: original.kind,
        occurredAt: occurredAt.toISOString(),
        ...(earlierPeriodId === undefined ? {} : { earlierPeriodId }),
      }),
    };
  }
}
