import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { EventWriter } from '../../ledger/corrections/event-writer.js';
import type { PostedOperation } from '../../ledger/corrections/posted-operation.reader.js';
import { PostedOperationReader } from '../../ledger/corrections/posted-operation.reader.js';
import { headSequence } from '../../ledger/books/head.js';
import { Clock } from '../../platform/clock.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { requirePerson } from '../../tenancy/people/person.reader.js';
import type { Batch } from '../../tenancy/producer-database/batch.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import type { LastEntry } from './last-entry.reader.js';
import { LastEntryReader } from './last-entry.reader.js';
import type { NewUndo, Undone } from './undo.dto.js';

const DAY_MS = 24 * 3_600_000;
const REASON = 'undone';

type Records = Omit<Batch, 'action'>;

/** Takes back the last entry of a key or a person, within a day, where nothing rests on it. What is taken back stays on record. */
@Injectable()
export class UndoService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly entries: LastEntryReader,
    private readonly operations: PostedOperationReader,
    private readonly events: EventWriter,
  ) {}

  /** @throws ProblemException `not-found`, `conflict` where the last entry is of another kind, and what refuses a reversal where something rests on it */
  undo(ctx: RequestContext, { personId }: NewUndo): Promise<Answer<Undone>> {
    return this.database.write(ctx, {
      read: async (tx) => {
        await requirePerson(tx, ctx.producerId, personId, '/personId');
        const since = new Date(this.clock.now().getTime() - DAY_MS);
        const by = { keyId: ctx.principalId, personId };
        const entry = requireTakeable(await this.entries.of(tx, ctx.producerId, by, since));
        const head = await headSequence(tx, ctx.producerId);
        return { entry, head, records: await this.#records(tx, ctx.producerId, entry) };
      },
      plan: ({ entry: { kind, id, action, recordedAt }, head, records }) => ({
        batch: { ...records, action: 'entries.undo' },
        head,
        answer: new Answer(201, { kind, id, action, enteredAt: recordedAt.toISOString() }),
      }),
    });
  }

  /** The records that take the entry back. */
  async #records(tx: Tx, producerId: string, { kind, id, sequence }: Takeable): Promise<Records> {
    switch (kind) {
      case 'operation': {
        const originals: PostedOperation[] = [];
        for (const operation of await this.operations.ofEntry(tx, producerId, sequence)) {
          originals.push(...(operation.stands ? [await this.#latest(tx, producerId, operation)] : []));
        }
        return this.events.reversalPlan(originals, { reasonCode: REASON }).batch;
      }
      case 'reading':
        return { rows: { readingStrike: [{ readingId: id, reasonCode: REASON, textId: null, replacedBy: null }] } };
      case 'period':
        return { rows: { periodWithdrawal: [{ periodId: id }] } };
      case 'step':
        return this.#withdrawal(tx, producerId, id);
    }
  }

  /** The operation itself; where it was reversed and that taken back, the last reversal of the chain, since nothing is reversed twice. */
  async #latest(tx: Tx, producerId: string, operation: PostedOperation): Promise<PostedOperation> {
    const { reversedBy } = operation;
    const reversal = reversedBy === undefined ? undefined : await this.operations.row(tx, producerId, reversedBy);
    return reversal === undefined ? operation : this.#latest(tx, producerId, reversal);
  }

  async #withdrawal(tx: Tx, producerId: string, replaces: string): Promise<Records> {
    const [step] = await tx.$queryRaw<{ lotId: string; kind: string; number: number | null }[]>`
      SELECT lot_id AS "lotId", kind, step AS number FROM process_step WHERE producer_id = ${producerId}::uuid AND id = ${replaces}::uuid`;
    const row = {
      id: uuidv7(),
      lotId: step.lotId,
      vesselId: null,
      kind: step.kind,
      step: step.number,
      temperatureC: null,
      durationMin: null,
      outcome: 'withdrawn',
      replaces,
      personId: null,
      textId: null,
      doneAt: this.clock.now().toISOString(),
    };
    return { rows: { processStep: [row] } };
  }
}

type Takeable = LastEntry & { readonly kind: Undone['kind']; readonly id: string };

const isTakeable = (entry: LastEntry): entry is Takeable => entry.kind !== null && entry.id !== null;

/** @throws ProblemException `not-found` where nothing was entered within a day, `conflict` for a record that is changed at its own address */
function requireTakeable(entry: LastEntry | undefined): Takeable {
  if (entry === undefined) {
    throw new ProblemException('not-found', 'There is no entry of the last 24 hours to take back.');
  }
  if (!isTakeable(entry)) {
    throw new ProblemException(
      'conflict',
      `The last entry, \`${entry.action}\`, is not one that is taken back this way: change or retire what it made at its own address.`,
      { members: { action: entry.action } },
    );
  }
  return entry;
}
