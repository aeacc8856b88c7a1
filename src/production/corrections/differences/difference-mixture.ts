import { uuidv7 } from 'uuidv7';
import type { AccountKey } from '../../../ledger/books/account.js';
import { accountId } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, minus, negated, NOTHING, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import { NO_COMPONENTS } from '../../../ledger/books/components.js';
import { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { componentsByOrigin } from '../../../metrology/uncertainty.js';
import { mixParts } from '../../operations/composition/mixtures.js';
import type { DifferenceHead, DifferenceRead, Outcome } from './difference-facts.js';
import { changeOf, COMPUTABLE, enteredSoFar, lineOf, notComputable } from './difference-facts.js';
import { volumePlan } from './difference-plan.js';
import { outflowLines, propagation, stockLine } from '../../measuring/restatement/propagation.js';
import type { StrengthChange } from '../../measuring/restatement/strength-change.js';
import {
  isMeasured,
  measuredAccounts,
  restatedExtract,
  restatedRow,
  roundedParts,
  subjectLine,
} from '../../measuring/restatement/strength-change.js';

const of = ({ lines }: PostedOperation, which: (account: AccountKey) => boolean): Amount =>
  lines.filter(({ account }) => which(account)).reduce((sum, line) => plus(sum, line.amount), NOTHING);

/** Parts of a mixture by the books: the liquid in the vessel, and the liquid that was added. */
function mixtureOf({ original, account }: DifferenceRead): { base: Amount; added: Amount; result: Amount } {
  const id = accountId(account);
  const result = of(original, (each) => accountId(each) === id);
  const base = negated(
    of(
      original,
      ({ side, kind, ...each }) => side === 'stock' && kind === 'liquid' && accountId({ side, kind, ...each }) !== id,
    ),
  );
  const material = negated(of(original, ({ kind }) => kind === 'material'));
  const water = negated(of(original, ({ kind }) => kind === 'liquid-added'));
  return { base, added: plus(material, water), result };
}

const scaled = (added: Amount, litres: Decimal): Amount => {
  const share = (alcohol: Decimal): Decimal => toPlaces6HalfEven(alcohol.times(litres).dividedBy(added.litres));
  return { litres, fermented: share(added.fermented), added: share(added.added) };
};

/**
 * A wrong amount of what was put into a composition: water, or a liquid with or without alcohol. There is more or less of the mixture, by share
 * over where it went, and its strength was another: what is still there changes by that, derived mixtures are restated, what has left is shown.
 * A mixture that was measured on its own since keeps what was measured.
 */
export function mixtureOutcome(right: Decimal, facts: DifferenceRead, head: DifferenceHead): Outcome {
  const { original, account, read, baseExtractPlato } = facts;
  const compositionId = String(account.compositionId);
  const parts = mixtureOf(facts);
  if (parts.added.litres.isZero() || parts.base.litres.isZero()) {
    throw notComputable('reverse-instead', `Of what was added no litres were booked: ${COMPUTABLE}`);
  }
  const old = read.ofRecord.get(compositionId);
  if (old === undefined) {
    throw notComputable('in-process', 'The mixture is in process: reverse the addition and enter it again.');
  }
  const wrong = enteredSoFar(facts, 'volume', parts.added.litres);
  const change = changeOf(right, wrong);
  const mixed = (litres: Decimal) =>
    mixParts([
      { name: 'base', amount: parts.base, components: NO_COMPONENTS, extractPlato: baseExtractPlato },
      { name: 'added', amount: scaled(parts.added, litres), components: NO_COMPONENTS, extractPlato: 0 },
    ]);
  const [before, after] = [mixed(wrong), mixed(right)];
  const mixing = after.volumeChange.minus(before.volumeChange);
  const ingredient = minus(scaled(parts.added, right), scaled(parts.added, wrong));
  const litres = change.plus(mixing);
  const measured = isMeasured(old);
  const strength = (amounts: Amount): number => pureAlcohol(amounts).dividedBy(amounts.litres).times(100).toNumber();
  const now = measured ? old.strengthPercent : old.strengthPercent + strength(after.amount) - strength(before.amount);
  const shift: StrengthChange = {
    oldPercent: old.strengthPercent,
    newPercent: now,
    oldByOrigin: new Map(),
    newByOrigin: new Map(),
    extract: { oldPlato: before.realExtractPlato, newPlato: after.realExtractPlato },
  };
  const id = accountId(account);
  const plan = volumePlan({ original, read, compositionId, accountId: id, change: litres, nowPercent: now });
  const where = propagation(read.genealogy, {
    since: original.id,
    accounts: new Set([id]),
    ends: measuredAccounts(read, false),
  });
  const restated = restatedMixtures(facts, { more: plan.found.derived, where, shift, operationId: head.id });
  const stock = changedStock(facts, { plan, where: measured ? undefined : where, shift });
  const delta = (now - old.strengthPercent) / 100;
  const answer = {
    volumeChange: { value: litres.toNumber(), unit: 'L' },
    strengthChange: { value: now - old.strengthPercent, unit: '%' },
    inStock: stock.map(({ place, what }) => stockLine(place, what.litres.toNumber(), pureAlcohol(what).toNumber())),
    outflows: outflowLines(where.outflows, (each) => each * delta),
    findings: restated.wires,
  };
  const document = { corrects: original.id, volume: { wrong: wrong.toFixed(), right: right.toFixed() }, ...answer };
  const draft = new OperationDraft({ ...head, document });
  post(draft, facts, { ingredient, mixing, stock, exits: plan.exits });
  return { drafts: [draft], findings: restated.rows, answer };
}

type Plan = ReturnType<typeof volumePlan>;

/** Each place with its share of the litres and of the alcohol: more liquid at the strength that it has, and the change of strength over all that is there. */
function changedStock(
  { read }: DifferenceRead,
  facts: { plan: Plan; where: ReturnType<typeof propagation> | undefined; shift: StrengthChange },
): Plan['stock'] {
  const { plan, where, shift } = facts;
  const changes = new Map(plan.stock.map(({ place, what }) => [place.id, { place, what }]));
  const held = (where?.inStock ?? []).filter(({ place }) => read.stock.has(place.id));
  const delta = new Exact(shift.newPercent).minus(shift.oldPercent).dividedBy(100);
  const alcohol = roundedParts(held.map(({ litres }) => new Exact(litres).times(delta)));
  held.forEach(({ place }, index) => {
    const balance = read.stock.get(place.id)?.balance ?? NOTHING;
    const all = pureAlcohol(balance);
    const added = all.isZero() ? new Exact(0) : toPlaces6HalfEven(alcohol[index].times(balance.added).dividedBy(all));
    const more = amount(0, alcohol[index].minus(added), added);
    const before = changes.get(place.id)?.what ?? NOTHING;
    changes.set(place.id, { place, what: plus(before, more) });
  });
  return [...changes.values()];
}

/** Findings of the mixture and of what came of it: by their share of another strength, and by more or less that they took in. */
function restatedMixtures(
  { original, read, account }: DifferenceRead,
  facts: {
    more: Plan['found']['derived'];
    where: ReturnType<typeof propagation>;
    shift: StrengthChange;
    operationId: string;
  },
) {
  const { more, where, shift, operationId } = facts;
  const own = String(account.compositionId);
  const ids = new Set([own, ...more.keys(), ...where.derived.keys()]);
  const rows: Outcome['findings'][number][] = [];
  const wires: Outcome['answer']['findings'] = [];
  for (const compositionId of ids) {
    const old = read.ofRecord.get(compositionId);
    if (old === undefined || isMeasured(old)) {
      continue;
    }
    const there = where.derived.get(compositionId);
    const share = compositionId === own ? 1 : (there?.share ?? 0);
    const shifted = old.strengthPercent + share * (shift.newPercent - shift.oldPercent);
    const took = compositionId === own ? undefined : more.get(compositionId);
    const extra = took === undefined ? 0 : took.share * took.litres;
    const value =
      took === undefined ? shifted : (shifted * took.litres + shift.newPercent * extra) / (took.litres + extra);
    if (Math.abs(value - old.strengthPercent) <= 1e-9) {
      continue;
    }
    const id = uuidv7();
    const restates = read.lastOfRecord.get(compositionId) ?? old.id;
    const effects = componentsByOrigin(old.budget);
    const extractPlato = restatedExtract(old, value, share, shift);
    rows.push(
      restatedRow(old, { id, restates, value, effects, share, extractPlato, operationId, because: original.id }),
    );
    wires.push({ id, restates, compositionId, strength: { value, unit: '%' } });
  }
  return { rows, wires };
}

/** Posts the added liquid and the volume change on mixing to the stock and losses that follow; the rest of the alcohol goes to re-measurement. */
function post(
  draft: OperationDraft,
  facts: DifferenceRead,
  change: { ingredient: Amount; mixing: Decimal; stock: Plan['stock']; exits: Plan['exits'] },
): void {
  const { original, account, read } = facts;
  const category = read.genealogy.places.get(accountId(account))?.category ?? '';
  const own = { category, lotId: original.lotId, compositionId: account.compositionId };
  const line = (kind: Parameters<typeof lineOf>[2]): AccountKey => lineOf(original, account, kind, category);
  if (change.stock.some(({ place }) => place.category !== category)) {
    throw notComputable(
      'other-category',
      'Some of the liquid has changed its category since: reverse the operation and enter it again.',
    );
  }
  // Through one account, so that what comes in and where it goes meet; it is the line that takes what they leave.
  const through = line('re-measurement');
  const material = original.lines.find((each) => each.account.kind === 'material');
  if (material === undefined) {
    draft.move(line('liquid-added'), through, change.ingredient, own);
  } else {
    const { account: store, subject } = material;
    draft
      .move(store, lineOf(original, store, 'used-as-material', 'materials'), change.ingredient, subject)
      .move(line('used-as-material'), through, change.ingredient, own);
  }
  draft.move(line('mixing-volume-change'), through, amount(change.mixing), own);
  for (const { place, what } of change.stock) {
    draft.move(through, place.key, what, own, undefined, subjectLine(place));
  }
  for (const exit of change.exits) {
    draft.move(through, exit.account, exit.what, own, undefined, { ...own, category: exit.category });
  }
}
