import type { AccountKey, Subject } from '../../../ledger/books/account.js';
import { nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { mapped, NO_COMPONENTS } from '../../../ledger/books/components.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import { Exact } from '../../../metrology/decimals.js';

/** Liquid that is taken out of one composition to become part of another. */
export interface JoiningPart {
  readonly account: AccountKey;
  readonly subject: Subject;
  readonly amount: Amount;
  readonly components: Components;
  /** No finding of record has declared it finished. */
  readonly inProcess: boolean;
}

/** The composition that it becomes part of. */
export interface Joined {
  readonly account: AccountKey;
  readonly subject: Subject;
  readonly inProcess: boolean;
}

const alcoholOnly = (components: Components): Components =>
  mapped(components, ({ lpa }) => ({ litres: new Exact(0), lpa }));
const litresOnly = (components: Components): Components =>
  mapped(components, ({ litres }) => ({ litres, lpa: new Exact(0) }));

/** Moves a part into what it becomes, so that each category balances by itself. */
export function join(draft: OperationDraft, part: JoiningPart, result: Joined): void {
  const [from, to] = [part.subject.category, result.subject.category];
  if (from === to) {
    draft.move(part.account, result.account, part.amount, part.subject, part.components, result.subject);
  } else if (part.inProcess) {
    changeCategoryInProcess(draft, part, result);
  } else {
    through('category-moves', draft, part, result, part.amount, part.components);
  }
  if (result.inProcess && !part.inProcess) {
    useAsMaterial(draft, part, result);
  }
}

/** Out to a nominal account of its own category and in from that of the result's. */
function through(
  kind: 'category-moves' | 'production-in-process' | 'fermentation',
  draft: OperationDraft,
  part: JoiningPart,
  result: Joined,
  what: Amount,
  components: Components,
): void {
  const { account, subject } = part;
  draft
    .move(account, nominalAccount(account, kind, subject.category), what, subject, components)
    .move(nominalAccount(account, kind, result.subject.category), result.account, what, result.subject, components);
}

/** Changes the category of liquid that has not finished, within production: its finish posts it as produced under the category of the result. */
function changeCategoryInProcess(draft: OperationDraft, part: JoiningPart, result: Joined): void {
  const { litres, fermented, added } = part.amount;
  through('production-in-process', draft, part, result, amount(litres), litresOnly(part.components));
  through('fermentation', draft, part, result, amount(0, fermented), alcoholOnly(part.components));
  through('category-moves', draft, part, result, amount(0, 0, added), NO_COMPONENTS);
}

/** The later finish posts all that is there as produced; what was produced before is used up as material of it, so that it counts once. */
function useAsMaterial(draft: OperationDraft, part: JoiningPart, { subject }: Joined): void {
  const { account, components } = part;
  const used = nominalAccount(account, 'used-as-material', subject.category);
  draft
    .move(
      nominalAccount(account, 'production-in-process', subject.category),
      used,
      amount(part.amount.litres),
      subject,
      litresOnly(components),
    )
    .move(
      nominalAccount(account, 'fermentation', subject.category),
      used,
      amount(0, part.amount.fermented),
      subject,
      alcoholOnly(components),
    );
}
