import { Injectable } from '@nestjs/common';
import { eventOf } from '../../../ledger/books/event.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import { booksOf } from '../../../ledger/books/operation-draft.js';
import { correctedPeriodOf } from '../../../ledger/corrections/posted-operation.reader.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import type { DifferenceRead } from './difference-facts.js';
import { DifferenceReader } from './difference.reader.js';
import { outcomeOf, requireOneValue } from './difference-outcome.js';
import type { DifferenceAnswer, DifferenceOperation, NewDifference } from './difference.dto.js';

/** Posts only what a wrong value changes, where later work rests on it. */
@Injectable()
export class DifferenceService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly facts: DifferenceReader,
  ) {}

  async differ(ctx: RequestContext, id: string, body: NewDifference): Promise<Answer<DifferenceAnswer>> {
    requireOneValue(body.correct);
    const read = (tx: Tx): Promise<DifferenceRead> => this.facts.read(tx, ctx.producerId, id, body);
    if (body.preview === true) {
      const facts = await this.database.read(ctx, read);
      return new Answer(200, this.plan(body, facts).answer.body);
    }
    return this.database.write(ctx, { read, plan: (facts) => this.plan(body, facts) });
  }

  private plan(body: NewDifference, facts: DifferenceRead): Plan<DifferenceAnswer> {
    const { original, read } = facts;
    const now = this.clock.now();
    const event = eventOf({ personId: body.personId, note: body.note }, now);
    const head: Omit<OperationHead, 'document'> = {
      ...event.head,
      kind: 'difference',
      timing: 'change',
      premisesId: original.premisesId,
      lotId: original.lotId,
      compositionId: original.compositionId,
      corrects: original.id,
      earlierPeriodId: original.closedPeriodId === undefined ? undefined : correctedPeriodOf(original),
      reasonCode: body.reasonCode,
    };
    const { drafts, findings, answer } = outcomeOf(body.correct, facts, head);
    const operations = drafts.map(toOperation);
    if (operations.every(({ postings }) => postings.length === 0) && body.preview !== true) {
      throw new ProblemException('conflict', 'Nothing in the books changes by the right value.', {
        errors: [
          {
            pointer: '/correct',
            rule: 'nothing-left',
            detail: 'All of it has left stock and was measured or counted since; a preview shows where it went.',
          },
        ],
      });
    }
    return {
      batch: {
        action: 'corrections.difference',
        ...booksOf(...drafts),
        rows: findings.length === 0 ? {} : { finding: findings },
        personalText: event.personalText,
      },
      head: read.head,
      answer: new Answer(201, {
        preview: body.preview === true,
        corrects: original.id,
        kindCorrected: original.kind,
        occurredAt: now.toISOString(),
        ...(head.earlierPeriodId === undefined ? {} : { earlierPeriodId: head.earlierPeriodId }),
        operations,
        ...answer,
      }),
    };
  }
}

function toOperation(draft: OperationDraft): DifferenceOperation {
  const accounts = new Map(draft.accounts.map((row) => [row.id, row]));
  return {
    operationId: draft.head.id,
    premisesId: draft.head.premisesId,
    postings: draft.row.postings.map((posting) => {
      const account = accounts.get(posting.accountId);
      return {
        account: String(account?.key),
        side: account?.side === 'stock' ? ('stock' as const) : ('nominal' as const),
        kind: String(account?.kind),
        litres: toLitres(posting.litres),
        fermented: toLitres(posting.lpaFermented),
        added: toLitres(posting.lpaAdded),
      };
    }),
  };
}
