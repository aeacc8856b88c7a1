import { uuidv7 } from 'uuidv7';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import { nominalAccount } from '../../../ledger/books/account.js';
import { minus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import { OperationDraft } from '../../../ledger/books/operation-draft.js';
import { componentsByOrigin } from '../../../metrology/uncertainty.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import { atStrength } from '../position/finding-books.js';
import type { CompositionPosition } from '../position/lot-position.js';
import { inStock, isInProcess } from '../position/lot-position.js';
import type { Restatement } from './restatement.dto.js';
import type { RestatementRead } from './restatement.reader.js';
import { firstInto, outflowLines, propagation, stockLine } from './propagation.js';
import type { StockChange, StrengthChange } from './strength-change.js';
import { derivedFindings, measuredAccounts, stockChanges } from './strength-change.js';

export interface Restating {
  readonly restatement: Restatement;
  readonly findings: readonly RowOf<'finding'>[];
  readonly changes: readonly StockChange[];
}

/**
 * Applies a new strength of record to liquid that has since been moved, mixed, packed or sent out.
 *
 * Stock gets its share of the change. Outflows are listed and not posted. Findings of derived compositions are replaced.
 * The change ends at compositions with a measured finding of their own, and at those in process, which will be measured when they finish.
 * A first finding of record replaces the latest provisional one, for outflows since that one only.
 *
 * @returns undefined if nothing of the liquid was used since
 */
export function restate(facts: {
  readonly read: RestatementRead;
  readonly target: CompositionPosition;
  readonly found: StrengthFinding;
  readonly findingId: string;
  readonly operationId: string;
}): Restating | undefined {
  const { read, target, found, findingId, operationId } = facts;
  const inProcess = isInProcess(target);
  const first = inProcess ? target.provisional : firstOf(read, target);
  const old = target.ofRecord ?? target.provisional;
  if (old === undefined || first === undefined || first.operationId === null) {
    return undefined;
  }
  const own = inStock(target);
  const change: StrengthChange = {
    oldPercent: old.strengthPercent,
    newPercent: found.strengthPercent.value,
    oldByOrigin: componentsByOrigin(old.budget),
    newByOrigin: componentsByOrigin(found.strengthPercent.budget),
    ...extractChange(old, found),
  };
  const where = propagation(read.genealogy, {
    since: beganWith(read, target, first.operationId),
    accounts: new Set(read.accounts),
    ends: measuredAccounts(read, true),
  });
  const changes = stockChanges(read, where, change, { without: new Set(own.map(({ id }) => id)), inProcess });
  const derived = derivedFindings(read, where, change, { operationId, because: findingId, newId: uuidv7 });
  if (inProcess && where.outflows.length === 0 && changes.length === 0) {
    return undefined;
  }
  const delta = (change.newPercent - change.oldPercent) / 100;
  const ownPlaces = own.flatMap((account) => {
    const place = read.genealogy.places.get(account.id);
    const now = atStrength(account, found, inProcess).amount;
    const more = pureAlcohol(minus(now, account.balance)).toNumber();
    return place === undefined ? [] : [stockLine(place, account.balance.litres.toNumber(), more)];
  });
  return {
    changes,
    findings: derived.rows,
    restatement: {
      change: { value: change.newPercent - change.oldPercent, unit: '%' },
      inStock: [
        ...ownPlaces,
        ...changes.map((each) => stockLine(each.place, each.litres, pureAlcohol(each.change).toNumber())),
      ],
      outflows: outflowLines(where.outflows, (litres) => litres * delta),
      findings: derived.restated,
    },
  };
}

const extractChange = (old: FindingRow, { realExtractPlato }: StrengthFinding): Pick<StrengthChange, 'extract'> =>
  old.realExtractPlato === null || realExtractPlato === undefined
    ? {}
    : { extract: { oldPlato: old.realExtractPlato, newPlato: realExtractPlato } };

/** The operation from which on liquid had the strength: that of the finding; of a composition that no vessel held when it was found, its first. */
function beganWith({ genealogy, accounts }: RestatementRead, target: CompositionPosition, operationId: string): string {
  const own = genealogy.operations.find(({ id }) => id === operationId);
  const isOfSuccessor = own?.compositionId !== undefined && own.compositionId !== target.composition.id;
  return (isOfSuccessor ? firstInto(genealogy, accounts) : undefined) ?? operationId;
}

/** From which finding on liquid left with a strength that is found anew: the first of record, or the provisional one whose place that took. */
function firstOf({ standing, genealogy }: RestatementRead, target: CompositionPosition): FindingRow | undefined {
  const order = new Map(genealogy.operations.map(({ id }, index) => [id, index]));
  const place = ({ operationId }: FindingRow): number => order.get(operationId ?? '') ?? Infinity;
  const [first] = standing.get(target.composition.id) ?? [];
  const { provisional } = target;
  return first !== undefined && provisional !== undefined && place(provisional) < place(first) ? provisional : first;
}

/** Posts changes, each on the operation of its premises: the first draft, or another one like it. */
export function postChanges(
  first: OperationDraft,
  changes: readonly StockChange[],
  post: (draft: OperationDraft, change: StockChange) => OperationDraft,
): OperationDraft[] {
  const drafts = new Map<string, OperationDraft>([[first.head.premisesId, first]]);
  for (const change of changes) {
    const { premisesId } = change.account;
    let draft = drafts.get(premisesId);
    if (draft === undefined) {
      const head: OperationHead = { ...first.head, id: uuidv7(), premisesId };
      draft = new OperationDraft(head);
      drafts.set(premisesId, draft);
    }
    post(draft, change);
  }
  return [...drafts.values()];
}

/** A change of strength that a measurement found. */
export const reMeasurement = (draft: OperationDraft, each: StockChange): OperationDraft =>
  draft.move(
    nominalAccount(each.account, 're-measurement', each.place.category),
    each.account,
    each.change,
    each.subject,
    each.components,
  );
