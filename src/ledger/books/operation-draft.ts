import type { Books, Facts, OperationRow, RowOf } from '../../tenancy/producer-database/batch.js';
import type { AccountKey, Subject } from './account.js';
import { accountId, accountRow } from './account.js';
import type { Amount } from './amount.js';
import { amountTexts, isNothing, negated, NOTHING, plus } from './amount.js';
import type { Components } from './components.js';
import { combined, componentRows, negatedComponents, NO_COMPONENTS } from './components.js';

/** `draw` may be dated back over other draws; `change` and `assertion` may not come before a later posting. */
export type Timing = 'draw' | 'change' | 'assertion';

export interface OperationHead {
  readonly id: string;
  readonly kind: string;
  readonly timing: Timing;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly lotId?: string;
  readonly compositionId?: string;
  readonly personId?: string;
  readonly keyId?: string;
  readonly reverses?: string;
  readonly corrects?: string;
  readonly explains?: string;
  readonly earlierPeriodId?: string;
  readonly reasonCode?: string;
  readonly noteTextId?: string;
  /** Facts of the event, as JSON. */
  readonly document: Facts;
}

interface Line {
  readonly account: AccountKey;
  readonly subject: Subject;
  amount: Amount;
  components: Components;
  /** Posted even where it changes nothing. */
  asserted?: boolean;
}

/** One operation in the making: built of moves from one account to another, so it adds to zero in every measure and every origin. */
export class OperationDraft {
  readonly #lines = new Map<string, Line>();

  constructor(readonly head: OperationHead) {}

  /** Moves an amount (of either sign) with its components. The subject says whose line it is in a report; `receiver`, where that is another's. */
  move(
    from: AccountKey,
    to: AccountKey,
    what: Amount,
    subject: Subject,
    components: Components = NO_COMPONENTS,
    receiver: Subject = subject,
  ): this {
    this.#add(from, subject, negated(what), negatedComponents(components));
    this.#add(to, receiver, what, components);
    return this;
  }

  /** States what stands on an account: its line is posted also where the books had it right, so that it is in the way of earlier entries. */
  assert(account: AccountKey, subject: Subject): this {
    this.#add(account, subject, NOTHING, NO_COMPONENTS).asserted = true;
    return this;
  }

  /** Net change of an account by the operation. */
  on(account: AccountKey): { amount: Amount; components: Components } {
    const own = [...this.#lines.values()].filter((line) => accountId(line.account) === accountId(account));
    return {
      amount: own.map(({ amount }) => amount).reduce(plus, NOTHING),
      components: combined(...own.map(({ components }) => components)),
    };
  }

  get accounts(): RowOf<'account'>[] {
    return this.#kept().map((line) => accountRow(line.account));
  }

  /** The operation with its postings, as `post` takes it. */
  get row(): OperationRow {
    const { head } = this;
    return {
      id: head.id,
      kind: head.kind,
      timing: head.timing,
      premisesId: head.premisesId,
      occurredAt: head.occurredAt.toISOString(),
      lotId: head.lotId ?? null,
      compositionId: head.compositionId ?? null,
      personId: head.personId ?? null,
      keyId: head.keyId ?? null,
      reverses: head.reverses ?? null,
      corrects: head.corrects ?? null,
      explains: head.explains ?? null,
      earlierPeriodId: head.earlierPeriodId ?? null,
      reasonCode: head.reasonCode ?? null,
      noteTextId: head.noteTextId ?? null,
      document: head.document,
      postings: this.#kept().map(({ account, subject, amount, components }, index) => {
        const { litres, lpaFermented, lpaAdded } = amountTexts(amount);
        return {
          line: index + 1,
          accountId: accountId(account),
          litres,
          lpaFermented: lpaFermented,
          lpaAdded: lpaAdded,
          category: subject.category,
          lotId: subject.lotId ?? null,
          compositionId: subject.compositionId ?? null,
          packagedLotId: subject.packagedLotId ?? null,
          materialLotId: subject.materialLotId ?? null,
          components: componentRows(components),
        };
      }),
    };
  }

  #kept(): Line[] {
    return [...this.#lines.values()].filter(
      (line) => line.asserted === true || !isNothing(line.amount) || componentRows(line.components).length > 0,
    );
  }

  #add(account: AccountKey, subject: Subject, what: Amount, components: Components): Line {
    const key = `${accountId(account)} ${JSON.stringify(subject)}`;
    const line: Line = this.#lines.get(key) ?? { account, subject, amount: NOTHING, components: NO_COMPONENTS };
    line.amount = plus(line.amount, what);
    line.components = combined(line.components, components);
    this.#lines.set(key, line);
    return line;
  }
}

/** The accounts and operations of drafts, as part of a batch. */
export const booksOf = (...drafts: readonly OperationDraft[]): Books => {
  const accounts = new Map(drafts.flatMap((draft) => draft.accounts).map((row) => [row.id, row]));
  return { accounts: [...accounts.values()], operations: drafts.map((draft) => draft.row) };
};
