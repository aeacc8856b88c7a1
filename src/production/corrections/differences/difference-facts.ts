import type { AccountKey } from '../../../ledger/books/account.js';
import { nominalAccount } from '../../../ledger/books/account.js';
import type { OperationDraft, OperationHead } from '../../../ledger/books/operation-draft.js';
import { decimalIn, objectIn } from '../../../ledger/operations/document-facts.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { onEarlierLine } from '../../../ledger/corrections/reversal.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Facts, RowOf } from '../../../tenancy/producer-database/batch.js';
import type { DifferenceAnswer } from './difference.dto.js';
import type { RestatementRead } from '../../measuring/restatement/restatement.reader.js';

/** Facts that a difference is computed from. */
export interface DifferenceRead {
  readonly original: PostedOperation;
  /** The stock account whose content was wrong: filled, gauged, received or mixed by the operation, or drawn for its containers. */
  readonly account: AccountKey;
  readonly read: RestatementRead;
  /** Differences of it that stand, oldest first. */
  readonly before: readonly PostedOperation[];
  /** Real extract of what a dilution or addition went into, °P. */
  readonly baseExtractPlato: number;
  /** Of a container, where it is packed. */
  readonly nominalLitres: string | undefined;
}

/** Operations and answer of a difference. */
export interface Outcome {
  readonly drafts: readonly OperationDraft[];
  readonly findings: readonly RowOf<'finding'>[];
  readonly answer: Pick<DifferenceAnswer, 'inStock' | 'outflows' | 'findings' | 'volumeChange' | 'strengthChange'>;
}

export type DifferenceHead = Omit<OperationHead, 'document'>;
export type ValueName = 'volume' | 'strength' | 'count' | 'loss';

export const COMPUTABLE =
  'The volume of a charge, gauge, receipt, dilution or addition, the strength of a receipt, the loss of a transfer, the count of a packaging and what an opening states are put right so; anything else: reverse it and enter it again.';

export const notComputable = (rule: string, detail: string, pointer = '/correct'): ProblemException =>
  new ProblemException('not-computable', detail, { errors: [{ pointer, rule, detail }] });

/** Item of an opening that a difference is about. */
export const itemOf = ({ compositionId, packagedLotId }: AccountKey) => ({
  item: packagedLotId ?? compositionId ?? null,
});

/** Value that counts now: that of the last difference that was not reversed, or else the one that was posted. */
export function enteredSoFar(facts: DifferenceRead, name: ValueName, posted: Decimal): Decimal {
  const last = facts.before
    .flatMap(({ document }): readonly Facts[] => {
      const said = objectIn(document, name);
      return said === undefined ? [] : [said];
    })
    .at(-1);
  return last === undefined ? posted : decimalIn(last, 'right');
}

/** @throws ProblemException `not-computable` where nothing changes */
export function changeOf(right: Decimal, wrong: Decimal): Decimal {
  if (right.equals(wrong)) {
    throw notComputable('no-change', 'That is the value in the books already: nothing has to be corrected.');
  }
  return right.minus(wrong);
}

/** The nominal line that a difference stands on: its own, or that of earlier periods. */
export const lineOf = (
  { closedPeriodId }: PostedOperation,
  account: AccountKey,
  kind: Parameters<typeof nominalAccount>[1],
  category: string,
): AccountKey => {
  const line = nominalAccount(account, kind, category);
  return closedPeriodId === undefined ? line : onEarlierLine(line);
};
