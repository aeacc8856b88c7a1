import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { EventHead } from '../../../ledger/books/event.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import type { Standing } from '../finding-records/finding-kinds.js';
import type { PackagedLotRow } from '../packed/packaged-lot.reader.js';
import { alcoholDraft } from '../position/finding-books.js';
import { inStock } from '../position/lot-position.js';
import type { Restating } from '../restatement/restate.js';
import { postChanges, reMeasurement, restate } from '../restatement/restate.js';
import type { Restatement } from '../restatement/restatement.dto.js';
import type { RestatementRead } from '../restatement/restatement.reader.js';
import { findEarlier } from './earlier-composition.js';
import type { FindingRead } from './finding-inputs.reader.js';
import type { SuccessorRead } from './successor.reader.js';

export interface RestatingRead extends FindingRead {
  /** The books down the genealogy of a composition that had a strength of record, or a provisional one until now. */
  readonly restatement: RestatementRead | undefined;
  /** Goods that were filled from the liquid, gone ones too. */
  readonly packagedLots: readonly PackagedLotRow[];
  /** Compositions that one in process became, if no vessel holds it any more. */
  readonly successors: SuccessorRead | undefined;
}

/** Effects of a finding on the books: on what it is of, on what that became, and on what went on with another strength. */
interface FindingEffects {
  readonly drafts: readonly OperationDraft[];
  readonly findings: readonly RowOf<'finding'>[];
  readonly accounts: readonly StockAccount[];
  readonly restatement: Restatement | undefined;
  readonly trailHead: bigint | undefined;
}

export function findingEffects(
  read: RestatingRead,
  found: StrengthFinding,
  facts: {
    readonly head: EventHead;
    readonly standing: Standing;
    readonly findingId: string;
    readonly restates: string | undefined;
    readonly sampledAt: Date;
  },
): FindingEffects {
  const { successors, target, restatement } = read;
  const earlier = successors === undefined ? undefined : findEarlier({ read: successors, target, found, ...facts });
  if (earlier !== undefined) {
    return { ...earlier, trailHead: successors?.restatement.head };
  }
  const restating = restatingOf(read, found, { findingId: facts.findingId, operationId: facts.head.id });
  const draft = draftOf(read, found, { ...facts, restating });
  return {
    drafts: draft === undefined ? [] : postChanges(draft, restating?.changes ?? [], reMeasurement),
    findings: restating?.findings ?? [],
    accounts: inStock(target),
    restatement: restating?.restatement,
    trailHead: restatement?.head,
  };
}

const restatingOf = (
  { restatement, target }: RestatingRead,
  found: StrengthFinding,
  ids: { readonly findingId: string; readonly operationId: string },
): Restating | undefined =>
  restatement === undefined ? undefined : restate({ read: restatement, target, found, ...ids });

/** The operation that brings the composition's stock to the strength found; its document names the finding. */
function draftOf(
  { position, target }: RestatingRead,
  found: StrengthFinding,
  facts: {
    readonly head: EventHead;
    readonly standing: Standing;
    readonly restating: Restating | undefined;
    readonly findingId: string;
    readonly restates: string | undefined;
  },
): OperationDraft | undefined {
  const { head, standing, restating, findingId, restates } = facts;
  return alcoholDraft({
    head: {
      ...head,
      premisesId: target.composition.premisesId,
      lotId: position.lot.id,
      compositionId: target.composition.id,
      document: {
        finding: findingId,
        standing,
        restates: restates ?? null,
        method: found.method.id,
        ...(restating === undefined ? {} : { restatement: { ...restating.restatement } }),
      },
    },
    standing,
    target,
    found,
    category: position.lot.category,
  });
}
