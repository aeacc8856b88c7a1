import { accountId, packagedAccount } from '../../../ledger/books/account.js';
import type { AccountKey, Subject } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, minus, negated, NOTHING, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { DifferenceHead, DifferenceRead, Outcome } from './difference-facts.js';
import { changeOf, enteredSoFar, lineOf, notComputable } from './difference-facts.js';
import { volumePlan } from './difference-plan.js';
import { restatedByVolume, volumeAnswer } from './difference-volume.js';
import { stockLine } from '../../measuring/restatement/propagation.js';
import { subjectLine } from '../../measuring/restatement/strength-change.js';

/** Place in the books of the liquid that more containers held, or that fewer did not. */
interface Source {
  readonly legs: readonly { readonly account: AccountKey; readonly what: Amount; readonly subject: Subject }[];
  readonly inStock: Outcome['answer']['inStock'];
  readonly outflows: Outcome['answer']['outflows'];
  readonly restated: ReturnType<typeof restatedByVolume>;
}

const sumOf = (original: PostedOperation, kind: string): Amount =>
  original.lines.filter(({ account }) => account.kind === kind).reduce((sum, line) => plus(sum, line.amount), NOTHING);

/** So many litres of the same liquid, half-even to six places. */
function likeOf(of: Amount, litres: Decimal): Amount {
  const share = (alcohol: Decimal): Decimal =>
    of.litres.isZero() ? new Exact(0) : toPlaces6HalfEven(alcohol.times(litres).dividedBy(of.litres));
  return { litres, fermented: share(of.fermented), added: share(of.added) };
}

/**
 * A wrong count of a packaging run. Containers that left since were counted on their own, so what is left of the packaged lot changes; what more
 * containers hold was not lost where the run emptied the vessel, and else was not left in it. Each holds what the others of the run do now.
 */
export function countOutcome(right: number, facts: DifferenceRead, head: DifferenceHead): Outcome {
  const { original, account: vessel, read } = facts;
  const { document: run } = original;
  if (run.serials !== undefined) {
    const detail = 'The containers of the run have serials: reverse the run and enter it again with the right serials.';
    throw notComputable('with-serials', detail, '/correct/count');
  }
  if (run.doses !== undefined) {
    const detail =
      'A dose went into each container of the run: reverse the run and enter it again with the right count.';
    throw notComputable('with-doses', detail, '/correct/count');
  }
  const packed = packagedAccount(vessel, String(run.packagedLotId));
  const place = read.genealogy.places.get(accountId(packed));
  const filled = sumOf(original, 'packaged');
  if (place === undefined || filled.litres.isZero()) {
    throw notComputable('reverse-instead', 'The run filled nothing: reverse it and enter it again.');
  }
  const wrong = enteredSoFar(facts, 'count', new Exact(String(run.count)));
  const change = changeOf(new Exact(right), wrong);
  const litres = change.times(new Exact(String(run.nominalLitres)));
  const drawn = change.times(new Exact(String(run.meanFillLitres ?? run.nominalLitres)));
  const there = read.stock.get(accountId(packed))?.balance ?? NOTHING;
  const into = likeOf(there.litres.isZero() ? filled : there, litres);
  // Conditioning came on top of what was drawn: from fermentation, into the containers.
  const liquid = plus(filled, sumOf(original, 'fermentation'));
  const source =
    run.emptied === true ? lostBefore(facts, drawn, liquid, wrong) : leftInVessel(facts, drawn, liquid, head.id);
  const answer = {
    volumeChange: { value: litres.toNumber(), unit: 'L' },
    inStock: [stockLine(place, litres.toNumber(), pureAlcohol(into).toNumber()), ...source.inStock],
    outflows: source.outflows,
    findings: source.restated.wires,
  };
  const document = {
    corrects: original.id,
    packagedLotId: run.packagedLotId,
    count: { wrong: wrong.toNumber(), right },
    ...answer,
  };
  const own = subjectLine(place);
  const draft = new OperationDraft({ ...head, document });
  let came = NOTHING;
  for (const { account, what, subject } of source.legs) {
    draft.move(account, packed, what, subject, undefined, own);
    came = plus(came, what);
  }
  const spilt = likeOf(liquid, drawn.minus(litres));
  const line = (kind: Parameters<typeof lineOf>[2]): AccountKey => lineOf(original, vessel, kind, place.category);
  draft.move(packed, line('fill-difference'), spilt, own);
  const conditioned = !sumOf(original, 'fermentation').fermented.isZero();
  draft.move(line(conditioned ? 'fermentation' : 're-measurement'), packed, minus(into, minus(came, spilt)), own);
  return { drafts: [draft], findings: source.restated.rows, answer };
}

/** The run took all that was there: what containers did not hold was its loss. @throws ProblemException `not-computable` beyond that */
function lostBefore({ original, account }: DifferenceRead, drawn: Decimal, liquid: Amount, counted: Decimal): Source {
  const { document: run } = original;
  const fill = new Exact(String(run.meanFillLitres ?? run.nominalLitres));
  const lost = sumOf(original, 'packaging-loss').litres.minus(counted.minus(String(run.count)).times(fill));
  if (drawn.greaterThan(lost)) {
    const detail = `${lost.toFixed()} L of the run were entered as lost, and the added containers hold more than that. Reverse the run and enter it again.`;
    throw notComputable('more-than-drawn', detail, '/correct/count');
  }
  const category = original.lines.find((line) => line.account.kind === 'packaged')?.subject.category ?? '';
  const subject = { category, lotId: original.lotId, compositionId: account.compositionId };
  return {
    legs: [{ account: lineOf(original, account, 'packaging-loss', category), what: likeOf(liquid, drawn), subject }],
    inStock: [],
    outflows: [],
    restated: { rows: [], wires: [] },
  };
}

/** The run left something in the vessel: that was less, and all that became of it. */
function leftInVessel(facts: DifferenceRead, drawn: Decimal, liquid: Amount, operationId: string): Source {
  const { original, account, read } = facts;
  const plan = volumePlan({
    original,
    read,
    compositionId: String(account.compositionId),
    accountId: accountId(account),
    change: drawn.negated(),
    bookedPercent: pureAlcohol(liquid).dividedBy(liquid.litres).times(100).toNumber(),
  });
  const category = read.genealogy.places.get(accountId(account))?.category ?? '';
  const own = { category, lotId: original.lotId, compositionId: account.compositionId };
  if (plan.stock.some(({ place }) => place.category !== category)) {
    throw notComputable(
      'other-category',
      'Some of the liquid has changed its category since: reverse the operation and enter it again.',
    );
  }
  const legs = [
    ...plan.stock.map(({ place, what }) => ({ account: place.key, what: negated(what), subject: subjectLine(place) })),
    ...plan.exits.map((exit) => ({
      account: exit.account,
      what: negated(exit.what),
      subject: { ...own, category: exit.category },
    })),
  ];
  // A movement that took all that the books had took what there was: the rest was found by the count.
  const rest = drawn.minus(legs.reduce((sum, { what }) => sum.plus(what.litres), amount(0).litres));
  const gain = {
    account: lineOf(original, account, 're-measurement', category),
    what: likeOf(liquid, rest),
    subject: own,
  };
  const shown = volumeAnswer(plan, drawn.negated());
  return {
    legs: [...legs, gain],
    inStock: shown.inStock,
    outflows: shown.outflows,
    restated: restatedByVolume(read, plan, operationId, original.id),
  };
}
