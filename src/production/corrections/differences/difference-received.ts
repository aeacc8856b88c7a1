import { uuidv7 } from 'uuidv7';
import type { AccountKey } from '../../../ledger/books/account.js';
import { accountId, nominalAccount } from '../../../ledger/books/account.js';
import { amount, pureAlcohol } from '../../../ledger/books/amount.js';
import { OperationDraft } from '../../../ledger/books/operation-draft.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import type { DifferenceHead, DifferenceRead, Outcome } from './difference-facts.js';
import { changeOf, enteredSoFar, itemOf, lineOf, notComputable } from './difference-facts.js';
import { postedLitres } from './difference-volume.js';
import { postChanges } from '../../measuring/restatement/restate.js';
import { outflowLines, propagation, stockLine } from '../../measuring/restatement/propagation.js';
import type { StockChange } from '../../measuring/restatement/strength-change.js';
import {
  derivedFindings,
  isMeasured,
  measuredAccounts,
  stockChanges,
  subjectLine,
} from '../../measuring/restatement/strength-change.js';

/**
 * A wrong volume of a receipt, or a wrong count of an opening: draws were measured or counted on their own, so what is left of it changes, with
 * the alcohol that a litre of it has.
 */
export function amountOutcome(
  right: Decimal,
  nominalLitres: Decimal | undefined,
  facts: DifferenceRead,
  head: DifferenceHead,
): Outcome {
  const { original, account, read } = facts;
  const id = accountId(account);
  const unit = nominalLitres ?? new Exact(1);
  const name = nominalLitres === undefined ? 'volume' : 'count';
  const wrong = enteredSoFar(facts, name, postedLitres(original, id).dividedBy(unit));
  const litres = changeOf(right, wrong).times(unit);
  const line = original.lines.find((each) => accountId(each.account) === id);
  const posted = line?.amount ?? amount(0);
  const strength = enteredSoFar(facts, 'strength', pureAlcohol(posted).dividedBy(posted.litres).times(100));
  const alcohol = toPlaces6HalfEven(litres.times(strength).dividedBy(100));
  const all = pureAlcohol(posted);
  const added = all.isZero() ? new Exact(0) : toPlaces6HalfEven(alcohol.times(posted.added).dividedBy(all));
  const place = read.genealogy.places.get(id);
  const answer = {
    volumeChange: { value: litres.toNumber(), unit: 'L' },
    inStock: place === undefined ? [] : [stockLine(place, litres.toNumber(), alcohol.toNumber())],
    outflows: [],
    findings: [],
  };
  const document = {
    corrects: original.id,
    ...itemOf(account),
    ...(account.packagedLotId === undefined ? {} : { packagedLotId: account.packagedLotId }),
    [name]: { wrong: wrong.toFixed(), right: right.toFixed() },
    ...answer,
  };
  const subject = line?.subject ?? { category: 'materials', materialLotId: account.materialLotId };
  const draft = new OperationDraft({ ...head, document }).move(
    lineOf(original, account, original.kind === 'receipt' ? 'receipts' : 'opening', subject.category),
    account,
    amount(litres, alcohol.minus(added), added),
    subject,
  );
  return { drafts: [draft], findings: [], answer };
}

/** A wrong strength of what was received or opened with: it follows the liquid down the genealogy. */
export function strengthOutcome(right: number, facts: DifferenceRead, head: DifferenceHead): Outcome {
  const { original, account, read } = facts;
  const id = accountId(account);
  const received = original.kind === 'receipt';
  const stated = original.lines.find((each) => accountId(each.account) === id);
  const line = stated?.amount ?? amount(0);
  const own = received ? undefined : stated?.subject.compositionId;
  requireNotMeasured(own === undefined ? undefined : read.ofRecord.get(own));
  const posted = received
    ? new Exact(String(original.document.strength))
    : pureAlcohol(line).dividedBy(line.litres).times(100);
  const wrong = enteredSoFar(facts, 'strength', posted).toNumber();
  changeOf(new Exact(right), new Exact(wrong));
  const change = {
    oldPercent: wrong,
    newPercent: right,
    oldByOrigin: new Map<string, number>(),
    newByOrigin: new Map<string, number>(),
  };
  const found = propagation(read.genealogy, {
    since: original.id,
    accounts: new Set([id]),
    ends: measuredAccounts(read, false),
  });
  // All of a spirit's alcohol counts as added, wherever it went.
  const changes = stockChanges(read, found, change).map((each) =>
    received ? { ...each, change: amount(0, 0, pureAlcohol(each.change)) } : each,
  );
  // What the books began with has the strength that was stated whole.
  const whole = own === undefined ? [] : [[own, { share: 1, litres: 0 }] as const];
  const followed = { derived: new Map([...whole, ...found.derived]) };
  const derived = derivedFindings(read, followed, change, {
    operationId: head.id,
    because: original.id,
    newId: uuidv7,
  });
  const delta = (right - wrong) / 100;
  const answer = {
    strengthChange: { value: right - wrong, unit: '%' },
    inStock: changes.map((each) => stockLine(each.place, each.litres, pureAlcohol(each.change).toNumber())),
    outflows: outflowLines(found.outflows, (litres) => litres * delta),
    findings: derived.restated,
  };
  const document = {
    corrects: original.id,
    ...(received ? {} : itemOf(account)),
    strength: { wrong, right },
    ...answer,
  };
  const closed = original.closedPeriodId !== undefined;
  const category = read.genealogy.places.get(id)?.category ?? '';
  return {
    drafts: postChanges(new OperationDraft({ ...head, document }), changes, (draft, each) =>
      received ? usedAsMaterial(draft, each, closed) : opened(draft, each, category, closed),
    ),
    findings: derived.rows,
    answer,
  };
}

/** @throws ProblemException `not-computable` where what was stated counts no more */
function requireNotMeasured(finding: FindingRow | undefined): void {
  if (finding !== undefined && isMeasured(finding)) {
    throw notComputable(
      'measured-since',
      'Its strength was found since, and that counts: a new finding puts it right.',
      '/correct/strength',
    );
  }
}

/** More or less alcohol received; of what was used since it went on as material, as the charge posted it. */
function usedAsMaterial(draft: OperationDraft, each: StockChange, closed: boolean): OperationDraft {
  const { account, place, change, subject, components } = each;
  if (closed) {
    const line = nominalAccount(account, 'earlier-period', place.category);
    return draft.move(line, account, change, subject, components);
  }
  const receipts = nominalAccount(account, 'receipts', 'materials');
  if (account.kind === 'material') {
    return draft.move(receipts, account, change, subject, components);
  }
  const used = (category: string): AccountKey => nominalAccount(account, 'used-as-material', category);
  return draft
    .move(receipts, used('materials'), change, { category: 'materials' }, components)
    .move(used(place.category), account, change, subject, components);
}

/** More or less alcohol that was there when the books began; of what changed its category since, through that change. */
function opened(draft: OperationDraft, each: StockChange, category: string, closed: boolean): OperationDraft {
  const { account, place, change, components } = each;
  const subject = subjectLine(place);
  if (closed) {
    return draft.move(nominalAccount(account, 'earlier-period', place.category), account, change, subject, components);
  }
  const opening = nominalAccount(account, 'opening', category);
  if (place.category === category) {
    return draft.move(opening, account, change, subject, components);
  }
  return draft
    .move(opening, nominalAccount(account, 'category-moves', category), change, { category }, components)
    .move(nominalAccount(account, 'category-moves', place.category), account, change, subject, components);
}
