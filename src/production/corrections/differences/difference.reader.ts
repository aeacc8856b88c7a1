import { Injectable } from '@nestjs/common';
import { accountId } from '../../../ledger/books/account.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { PostedOperationReader } from '../../../ledger/corrections/posted-operation.reader.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { CompositionReader } from '../../lots/compositions/composition.reader.js';
import { FindingReader, latestProvisionalOf, ofRecordOf } from '../../measuring/finding-records/finding.reader.js';
import { RestatementReader } from '../../measuring/restatement/restatement.reader.js';
import { PackagedLotReader } from '../../measuring/packed/packaged-lot.reader.js';
import { malformed, missingReference } from '../../shared/references.js';
import type { DifferenceRead } from './difference-facts.js';
import { accountOf, requireComputable, requireOneValue, startsOf } from './difference-outcome.js';
import type { NewDifference, RightValue } from './difference.dto.js';

/** Reads what a difference entry rests on: the operation, the books down the genealogy, earlier differences. */
@Injectable()
export class DifferenceReader {
  constructor(
    private readonly operations: PostedOperationReader,
    private readonly restatements: RestatementReader,
    private readonly findings: FindingReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly compositions: CompositionReader,
  ) {}

  /** @throws ProblemException `not-found`; `conflict` for an operation that was reversed; `not-computable` */
  async read(tx: Tx, producerId: string, id: string, body: NewDifference): Promise<DifferenceRead> {
    await requirePerson(tx, producerId, body.personId, '/personId');
    const original = (await this.operations.row(tx, producerId, id)) ?? notFound();
    if (!original.stands) {
      throw new ProblemException('conflict', 'The operation has been reversed already.', {
        errors: [
          {
            pointer: '',
            rule: 'reversed',
            detail: 'Correct the operation that was entered in its place.',
            operation: original.reversedBy,
          },
        ],
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

  /** The item of an opening that is put right. @throws ProblemException `not-found`; `validation-failed` for two things */
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
}
