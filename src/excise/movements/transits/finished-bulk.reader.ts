import { Injectable } from '@nestjs/common';
import type { Subject } from '../../../ledger/books/account.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { CompositionReader } from '../../../production/lots/compositions/composition.reader.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { FindingReader, ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Finished liquid in bulk, with its strength of record. */
export interface FinishedBulk {
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
  readonly finding: FindingRow;
}

/** Reads liquid that can go to other premises in bulk: liquid that still ferments stays on its premises. */
@Injectable()
export class FinishedBulkReader {
  constructor(
    private readonly compositions: CompositionReader,
    private readonly findings: FindingReader,
  ) {}

  /** @throws ProblemException `finding-needed` without a finding of record */
  async of(tx: Tx, producerId: string, compositionId: string): Promise<FinishedBulk> {
    const finding = ofRecordOf(await this.findings.ofCompositions(tx, producerId, [compositionId]));
    if (finding === undefined) {
      throw new ProblemException('finding-needed', 'Bulk goes to other premises with a strength of record.', {
        errors: [{ pointer: '/lotId', rule: 'finding-needed', detail: 'Record a finding of record first.' }],
      });
    }
    const [{ category, lotId }] = await this.compositions.ofIds(tx, producerId, [compositionId]);
    return { subject: { category, lotId, compositionId }, finding };
  }
}
