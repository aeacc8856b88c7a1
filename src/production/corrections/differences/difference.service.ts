import { Injectable } from '@nestjs/common';
import { accountId } from '../../../ledger/books/account.js';
import { eventOf } from '../../../ledger/books/event.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import { booksOf } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { PostedOperationReader } from '../../../ledger/corrections/posted-operation.reader.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { CompositionReader } from '../../lots/compositions/composition.reader.js';
import { FindingReader, latestProvisionalOf, ofRecordOf } from '../../measuring/finding-records/finding.reader.js';
import { PackagedLotReader } from '../../operations/packaging/packaged-lot.reader.js';
import { malformed, missingReference, referenced } from '../../shared/references.js';
import type { DifferenceRead } from './difference-facts.js';
import { accountOf, outcomeOf, requireComputable, requireOneValue, startsOf } from './difference-outcome.js';
import type { DifferenceAnswer, DifferenceOperation, NewDifference, RightValue } from './difference.dto.js';
import { RestatementReader } from '../../measuring/restatement/restatement.reader.js';

/** Posts only what a wrong value changes, where later work rests on it. */
@Injectable()
export class DifferenceService {
  constructor(
    private readonly door: ProducerDatabase,
    private readonly clock: Clock,
    private readonly operations: PostedOperationReader,
    private readonly restatements: RestatementReader,
    private readonly findings: FindingReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly compositions: CompositionReader,
  ) {}

  async differ(ctx: RequestContext, id: string, body: NewDifference): Promise<Answer<DifferenceAnswer>> {
    requireOneValue(body.correct);
    const read = (tx: Tx): Promise<DifferenceRead> => this.read(tx, ctx.producerId, id, body);
    if (body.preview === true) {
      const facts = await this.door.read(ctx, read);
      return new Answer(200, this.plan(body, facts).answer.body);
    }
    return this.door.write(ctx, { read, plan: (facts) => this.plan(body, facts) });
  }

  private async read(tx: Tx, producerId: string, id: string, body: NewDifference): Promise<DifferenceRead> {
    if (body.personId !== undefined) {
      await referenced(tx, producerId, 'person', body.personId, '/personId');
    }
    const original = (await this.operations.row(tx, producerId, id)) ?? notFound();
    if (!original.stands) {
      throw new ProblemException('conflict', 'The operation has been reversed.', {
        errors: [{ pointer: '', rule: 'reversed', detail: 'It counts no more.', operation: original.reversedBy }],
      });
    }
    const item = await this.item(tx, producerId, body.correct);
    requireComputable(original, requireOneValue(body.correct));
    const account = accountOf(original, item);
    const starts = startsOf(original, account).map(accountId);
    const stated = original.lines.find((line) => accountId(line.account) === accountId(account))?.subject.compositionId;
    const { fromCompositionId } = original.document;
    const base =
      typeof fromCompositionId !== 'string'
        ? []
        : await this.findings.ofCompositions(tx, producerId, [fromCompositionId]);
    const packed =
      account.packagedLotId === undefined
        ? undefined
        : await this.packagedLots.row(tx, producerId, account.packagedLotId);
    const same = (each: PostedOperation): boolean => original.kind !== 'opening' || each.document.item === item;
    return {
      original,
      account,
      read: await this.restatements.of(tx, producerId, starts, stated === undefined ? [] : [stated]),
      before: (await this.operations.differencesOf(tx, producerId, id)).filter(same),
      baseExtractPlato: (ofRecordOf(base) ?? latestProvisionalOf(base))?.realExtractPlato ?? 0,
      nominalLitres: packed?.nominalLitres,
    };
  }

  /** What of an opening is meant. @throws ProblemException `not-found`; `validation-failed` for two things */
  private async item(tx: Tx, producerId: string, correct: RightValue): Promise<string | undefined> {
    const { compositionId, packagedLotId } = correct;
    if (compositionId !== undefined && (await this.compositions.row(tx, producerId, compositionId)) === undefined) {
      throw missingReference('/correct/compositionId');
    }
    if (packagedLotId !== undefined && (await this.packagedLots.row(tx, producerId, packagedLotId)) === undefined) {
      throw missingReference('/correct/packagedLotId');
    }
    if (compositionId !== undefined && packagedLotId !== undefined) {
      throw malformed({ pointer: '/correct', rule: 'one-of-two', detail: 'Give compositionId or packagedLotId.' });
    }
    return packagedLotId ?? compositionId;
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
      earlierPeriodId: original.closedPeriodId,
      reasonCode: body.reasonCode,
    };
    const { drafts, findings, answer } = outcomeOf(body.correct, facts, head);
    const operations = drafts.map(toOperation);
    if (operations.every(({ postings }) => postings.length === 0) && body.preview !== true) {
      throw new ProblemException('conflict', 'Nothing of it is left to be put right.', {
        errors: [{ pointer: '/correct', rule: 'nothing-left', detail: 'A preview shows where it went.' }],
      });
    }
    const touched = drafts.flatMap((draft) => draft.accounts.map(({ id }) => read.stock.get(String(id)) ?? []).flat());
    return {
      batch: {
        action: 'corrections.difference',
        ...booksOf(...drafts),
        rows: findings.length === 0 ? {} : { finding: findings },
        personalText: event.personalText,
      },
      reads: readsOf(...touched),
      answer: new Answer(201, {
        preview: body.preview === true,
        corrects: original.id,
        kindCorrected: original.kind,
        occurredAt: now.toISOString(),
        ...(original.closedPeriodId === undefined ? {} : { earlierPeriodId: original.closedPeriodId }),
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
