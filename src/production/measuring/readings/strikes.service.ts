import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { LotReader } from '../../lots/lot.reader.js';
import { requireReasonFacts } from '../../../tenancy/reasons/reason.rules.js';
import { missingReference } from '../../shared/references.js';
import type { ReadingDraft } from './reading-drafts.js';
import { ReadingDrafts } from './reading-drafts.js';
import type { ReadingRow } from './reading.reader.js';
import { ReadingReader, toReading } from './reading.reader.js';
import type { NewStrike, Replacement, StruckReading } from './readings.dto.js';

/** A reading to be struck, and the one to be entered instead. */
export interface ReadingToStrike {
  readonly reading: ReadingRow;
  readonly draft?: ReadingDraft;
}

/** Properties by which a request strikes a reading. */
type StrikeFacts = Pick<NewStrike, 'reasonCode' | 'note' | 'replacement'>;

const struckAlready = (replacedBy: string | null): ProblemException =>
  new ProblemException('conflict', 'The reading is struck already.', {
    members: replacedBy === null ? {} : { replacedBy },
  });

/** Takes a reading out of account, and enters it again in the same write where a replacement is given. The original stays. */
@Injectable()
export class StrikesService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly lots: LotReader,
    private readonly readings: ReadingReader,
    private readonly drafts: ReadingDrafts,
  ) {}

  async strike(ctx: RequestContext, id: string, body: NewStrike): Promise<Answer<StruckReading>> {
    const { replacement } = body;
    const takenAt = replacement === undefined ? undefined : this.checked(replacement);
    try {
      return await this.database.write(ctx, {
        read: async (tx) => {
          await this.requireUnused(tx, ctx.producerId, id);
          return this.look(tx, ctx, id, body, takenAt);
        },
        plan: (found) => strikePlan(found, body),
      });
    } catch (error) {
      // A twin of this very request may have struck it meanwhile: then its answer is the answer.
      const kept = await this.database.replayOf(ctx);
      if (kept !== undefined) {
        return kept as Answer<StruckReading>;
      }
      throw error instanceof ProblemException && error.code === 'already-exists' ? struckAlready(null) : error;
    }
  }

  /** Time of a replacement that needs no look-up to be refused; undefined where the reading's own is meant. */
  checked(replacement: Replacement): Date | undefined {
    return this.drafts.checked(replacement, 'replacement');
  }

  /** @throws ProblemException `not-found`, `conflict` for a struck one, and as an entry of the replacement */
  async look(
    tx: Tx,
    { producerId, principalId: keyId }: RequestContext,
    id: string,
    { replacement }: StrikeFacts,
    takenAt: Date | undefined,
  ): Promise<ReadingToStrike> {
    const reading = (await this.readings.row(tx, producerId, id)) ?? notFound();
    if (reading.struckFor !== null) {
      throw struckAlready(reading.replacedBy);
    }
    if (replacement === undefined) {
      return { reading };
    }
    const lot = await this.lots.row(tx, producerId, replacement.lotId ?? reading.lotId);
    if (lot === undefined) {
      throw missingReference('/replacement/lotId');
    }
    const of = { lot, takenAt: takenAt ?? reading.takenAt, keyId, place: 'replacement', replaces: id } as const;
    return { reading, draft: await this.drafts.prepare(tx, producerId, replacement, of) };
  }

  private async requireUnused(tx: Tx, producerId: string, id: string): Promise<void> {
    const reading = await this.readings.row(tx, producerId, id);
    const finding = reading?.struckFor === null ? await this.readings.findingOn(tx, producerId, id) : undefined;
    if (finding !== undefined) {
      throw new ProblemException(
        'reading-in-use',
        `A strength finding uses this reading. Correct it with POST /v1/readings/${id}/correction: that finds the strength again and says what follows.`,
        { members: { reading: id, finding } },
      );
    }
  }
}

/** The rows of a strike, and of the reading that is entered instead. @throws ProblemException `validation-failed` for `other` without a note */
export function strikePlan(
  { reading, draft }: ReadingToStrike,
  { reasonCode, note }: StrikeFacts,
): Plan<StruckReading> {
  requireReasonFacts({ reasonCode, note }, { pointer: '', note: 'note' });
  const noteText = note === undefined ? undefined : { id: uuidv7(), text: note };
  const replacedBy = draft?.read.id ?? null;
  const struck = { ...reading, struckFor: reasonCode, struckNote: note ?? null, replacedBy };
  return {
    batch: {
      action: 'readings.strike',
      rows: {
        ...(draft === undefined ? {} : { reading: [draft.row] }),
        readingStrike: [{ readingId: reading.id, reasonCode, textId: noteText?.id ?? null, replacedBy: replacedBy }],
      },
      facts: { ...draft?.given },
      personalText: [...(draft?.personalText ?? []), ...(noteText === undefined ? [] : [noteText])],
    },
    answer: new Answer(201, {
      reading: toReading(struck),
      ...(draft === undefined ? {} : { replacement: toReading(draft.read) }),
    }),
  };
}
