import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import { nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, isNothing, minus, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import {
  combined,
  mapped,
  NO_COMPONENTS,
  strengthComponents,
  withoutComponents,
} from '../../../ledger/books/components.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import { componentsByOrigin } from '../../../metrology/uncertainty.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { CompositionPosition } from './lot-position.js';
import { inStock, isInProcess } from './lot-position.js';
import type { Standing } from '../finding-records/finding-kinds.js';

/** An account's amount at a strength, litres unchanged. While in process what was added stays and the rest has fermented; later both change alike. */
export function amountAtStrength(balance: Amount, strengthPercent: number, inProcess: boolean): Amount {
  const total = toPlaces6HalfEven(balance.litres.times(new Exact(strengthPercent)).dividedBy(100));
  const before = pureAlcohol(balance);
  if (inProcess || before.isZero()) {
    return { litres: balance.litres, fermented: total.minus(balance.added), added: balance.added };
  }
  const added = toPlaces6HalfEven(balance.added.times(total).dividedBy(before));
  return { litres: balance.litres, fermented: total.minus(added), added };
}

/** An account as it stands at a strength. */
export interface AtStrength {
  readonly amount: Amount;
  readonly components: Components;
}

export function atStrength(account: StockAccount, found: StrengthFinding, inProcess: boolean): AtStrength {
  const { value, budget } = found.strengthPercent;
  return {
    amount: amountAtStrength(account.balance, value, inProcess),
    components: strengthComponents(account.components, account.balance.litres, value, componentsByOrigin(budget)),
  };
}

export interface AlcoholPosting {
  readonly head: Omit<OperationHead, 'kind' | 'timing'>;
  readonly standing: Standing;
  readonly target: CompositionPosition;
  readonly found: StrengthFinding;
  readonly category: string;
}

const alcoholOnly = (components: Components): Components =>
  mapped(components, ({ lpa }) => ({ litres: new Exact(0), lpa }));
const litresOnly = (components: Components): Components =>
  mapped(components, ({ litres }) => ({ litres, lpa: new Exact(0) }));

/**
 * The postings of a finding: while in process the alcohol comes from fermentation; of record, what is there is then produced; afterwards a
 * change goes to re-measurement, and what went on is restated beside it. Undefined where nothing is to be posted.
 */
export function alcoholDraft(posting: AlcoholPosting): OperationDraft | undefined {
  const { head, standing, target, found, category } = posting;
  if (standing === 'supporting') {
    return undefined;
  }
  const accounts = inStock(target);
  const inProcess = isInProcess(target);
  if (inProcess) {
    requireLiquid(accounts);
  }
  const place = target.accounts.at(0)?.account ?? { premisesId: target.composition.premisesId };
  const subject = { category, lotId: target.composition.lotId, compositionId: target.composition.id };
  const draft = new OperationDraft({
    ...head,
    kind: inProcess && standing === 'of-record' ? 'finish' : 'finding',
    timing: 'assertion',
  });
  const source = nominalAccount(place, inProcess ? 'fermentation' : 're-measurement', category);
  let there = amount(0);
  let thereComponents = NO_COMPONENTS;
  for (const account of accounts) {
    const now = atStrength(account, found, inProcess);
    draft.move(
      source,
      account.account,
      minus(now.amount, account.balance),
      subject,
      withoutComponents(now.components, account.components),
    );
    there = plus(there, now.amount);
    thereComponents = combined(thereComponents, now.components);
  }
  if (inProcess && standing === 'of-record' && !isNothing(there)) {
    const produced = nominalAccount(place, 'produced', category);
    draft
      .move(
        produced,
        nominalAccount(place, 'production-in-process', category),
        amount(there.litres),
        subject,
        litresOnly(thereComponents),
      )
      .move(produced, source, amount(0, there.fermented), subject, alcoholOnly(thereComponents));
  }
  return draft;
}

function requireLiquid(accounts: readonly StockAccount[]): void {
  if (accounts.length === 0) {
    throw new ProblemException('conflict', 'No vessel holds liquid of this composition any more.', {
      errors: [{ pointer: '/compositionId', rule: 'empty', detail: 'Only a supporting finding can be added to it.' }],
    });
  }
}
