import type { AccountKey, NominalKind, Subject } from '../../../ledger/books/account.js';
import { accountId, nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, bookStrengthPercent, minus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { onEarlierLine } from '../../../ledger/corrections/reversal.js';
import type { GenealogyOperation, Place } from '../../../ledger/genealogy/genealogy.reader.js';
import type { Route } from '../../../ledger/genealogy/flow.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { ProblemException } from '../../../platform/problems/problem.exception.js';
import { notComputable } from './difference-facts.js';
import type { RestatementRead } from '../../measuring/restatement/restatement.reader.js';
import type { Propagation } from '../../measuring/restatement/propagation.js';
import { propagation } from '../../measuring/restatement/propagation.js';
import { isMeasured, roundedParts, subjectLine } from '../../measuring/restatement/strength-change.js';

/** Movements were measured or counted by themselves and keep their litres; a gauge or count settles them; differences and explanations moved none. */
const ROUTES: Readonly<Record<string, Route>> = {
  movement: 'keep',
  packaging: 'spill',
  gauge: 'settle',
  count: 'settle',
  difference: 'stay',
  explanation: 'stay',
};
const volumeRoute = ({ kind }: GenealogyOperation): Route => ROUTES[kind] ?? 'share';

/** Changes that a wrong volume causes in stock, and in losses and measurements. */
export interface VolumePlan {
  readonly found: Propagation;
  readonly stock: readonly { readonly place: Place; readonly what: Amount }[];
  /** Losses and measurements that follow. */
  readonly exits: readonly {
    readonly account: AccountKey;
    readonly category: string;
    readonly what: Amount;
    readonly produced: boolean;
  }[];
  readonly strengthPercent: number;
  /** The composition had been found finished after the operation. */
  readonly finished: boolean;
}

export interface VolumeFacts {
  readonly original: PostedOperation;
  readonly read: RestatementRead;
  readonly compositionId: string;
  readonly accountId: string;
  readonly change: Decimal;
  /** Alcohol that a litre had when the operation happened, % vol; none for what was yet to ferment. */
  readonly bookedPercent?: number;
  /** Strength of the liquid now, where it is not that of the composition's finding. */
  readonly nowPercent?: number;
}

/** Follows a wrong volume down the genealogy. @throws ProblemException `not-computable` over a composition measured on its own */
export function volumePlan(facts: VolumeFacts): VolumePlan {
  const { original, read, compositionId, accountId: start, change, bookedPercent = 0 } = facts;
  const found = propagation(read.genealogy, {
    since: original.id,
    accounts: new Set([start]),
    litres: change.toNumber(),
    route: volumeRoute,
  });
  const { finished, isAfter } = finishOf(read, original, compositionId);
  requireFollowable(read, found, { compositionId, accountId: start });
  const own = read.stock.get(start);
  const strengthPercent =
    facts.nowPercent ??
    read.ofRecord.get(compositionId)?.strengthPercent ??
    (own === undefined ? 0 : (bookStrengthPercent(own.balance) ?? 0));
  const followed = found.outflows.filter(({ operation }) => operation.kind !== 'movement');
  const parts = [
    ...found.inStock.map((each) => ({ litres: each.litres, percent: strengthPercent })),
    ...followed.map((each) => ({
      litres: each.litres,
      percent: isAfter(each.operation) ? strengthPercent : (facts.nowPercent ?? bookedPercent),
    })),
  ];
  const litres = roundedParts(parts.map((part) => new Exact(part.litres)));
  const alcohol = roundedParts(parts.map((part) => new Exact(part.litres).times(part.percent).dividedBy(100)));
  const category = read.genealogy.places.get(start)?.category ?? '';
  const { length } = found.inStock;
  const share = addedShareOf(original, own, start);
  const whose = own?.account ?? original.lines.find(({ account }) => accountId(account) === start)?.account;
  const whatOf = (index: number): Amount => {
    const added = toPlaces6HalfEven(alcohol[index].times(share));
    return amount(litres[index], alcohol[index].minus(added), added);
  };
  return {
    found,
    strengthPercent,
    finished,
    stock: found.inStock.map(({ place }, index) => ({ place, what: whatOf(index) })),
    exits: followed.map(({ operation, kind, account }, index) => {
      const place = read.genealogy.places.get(account);
      const key =
        place?.key ?? nominalAccount({ ...whose, premisesId: operation.premisesId }, nominalKind(kind), category);
      return {
        account: operation.closedPeriodId === undefined ? key : onEarlierLine(key),
        category: place?.category ?? category,
        what: whatOf(length + index),
        produced: finished && isAfter(operation),
      };
    }),
  };
}

/** Finish of the composition: if it came after the operation, and which operations came after it. */
function finishOf(
  { genealogy: { operations }, standing }: RestatementRead,
  original: PostedOperation,
  compositionId: string,
): { readonly finished: boolean; isAfter(operation: GenealogyOperation): boolean } {
  const order = new Map(operations.map(({ id }, index) => [id, index]));
  const finish = standing.get(compositionId)?.at(0)?.operationId ?? undefined;
  const finishedAt = finish === undefined ? Infinity : (order.get(finish) ?? Infinity);
  return {
    finished: finishedAt !== Infinity && (order.get(original.id) ?? 0) < finishedAt,
    isAfter: ({ id }) => (order.get(id) ?? 0) > finishedAt,
  };
}

/** The part of the liquid's alcohol that was added: by what is there of it, or else as it was posted. */
function addedShareOf(original: PostedOperation, own: StockAccount | undefined, id: string): Decimal {
  const posted = original.lines.filter(({ account }) => accountId(account) === id).map((line) => line.amount);
  const known = [...(own === undefined ? [] : [own.balance]), ...posted].find((each) => !pureAlcohol(each).isZero());
  return known === undefined ? new Exact(0) : known.added.dividedBy(pureAlcohol(known));
}

const nominalKind = (kind: string): 're-measurement' | 'packaging-loss' =>
  kind === 'packaging-loss' ? 'packaging-loss' : 're-measurement';

/** Refuses what a share of the litres cannot correct; such an operation is reversed and entered again. */
function requireFollowable(
  { genealogy: { places }, ofRecord }: RestatementRead,
  found: Propagation,
  from: { compositionId: string; accountId: string },
): void {
  const refused = (rule: string, what: string): ProblemException =>
    notComputable(rule, `${what}: reverse and enter again.`);
  const others = [...found.derived.keys()].filter((id) => id !== from.compositionId);
  for (const id of others) {
    const finding = ofRecord.get(id);
    if (finding !== undefined && isMeasured(finding)) {
      throw refused('measured-since', `The liquid went into a composition that was measured on its own (${id})`);
    }
    if (finding === undefined && ofRecord.has(from.compositionId)) {
      throw refused('in-process', `The liquid went into a composition that is in process again (${id})`);
    }
  }
  const own = places.get(from.accountId);
  for (const { place } of found.inStock) {
    if (place.key.premisesId !== own?.key.premisesId) {
      throw refused('other-premises', 'Some of the liquid stands on other premises');
    }
    if (place.category !== own.category && !ofRecord.has(from.compositionId)) {
      throw refused('other-category', 'Some of the liquid changed its category while in process');
    }
  }
}

/** Two units of the books' last place: no finding since makes so little, rounding does. */
export const ROUNDING_L = 0.000002;

/** Litres with the alcohol that they had when they were posted; all of it where nothing but rounding came since. */
function bookedWith(what: Amount, percent: number): Amount {
  const alcohol = pureAlcohol(what);
  const booked = toPlaces6HalfEven(what.litres.times(percent).dividedBy(100));
  if (alcohol.minus(booked).abs().lessThanOrEqualTo(ROUNDING_L)) {
    return what;
  }
  const added = alcohol.isZero() ? new Exact(0) : toPlaces6HalfEven(booked.times(what.added).dividedBy(alcohol));
  return amount(what.litres, booked.minus(added), added);
}

/** Posts a volume plan: out of the line that the wrong operation stood on, and produced with it where it was finished since. */
export function postVolume(
  draft: OperationDraft,
  plan: VolumePlan,
  lines: {
    readonly litres: AccountKey;
    readonly alcohol: AccountKey;
    /** Alcohol that goes with a litre out of the line of the litres, % vol; the rest is the other line's. */
    readonly bookedPercent?: number;
    /** Subject of the wrong operation. */
    readonly subject: Subject;
    readonly closed: boolean;
  },
): void {
  const { subject: own, closed } = lines;
  const nominal = (kind: NominalKind, category = own.category): AccountKey =>
    nominalAccount(lines.litres, kind, category);
  const move = (to: AccountKey, what: Amount, subject: Subject): void => {
    if (closed) {
      draft.move(nominal('earlier-period', subject.category), to, what, subject);
      return;
    }
    const withLitres = bookedWith(what, lines.bookedPercent ?? 0);
    for (const [from, part] of [
      [lines.litres, withLitres],
      [lines.alcohol, minus(what, withLitres)],
    ] as const) {
      if (to.side === 'stock' && subject.category !== own.category) {
        draft.move(from, nominal('category-moves'), part, own);
        draft.move(nominal('category-moves', subject.category), to, part, subject);
      } else {
        draft.move(from, to, part, own, undefined, subject);
      }
    }
  };
  const produce = (what: Amount): void => {
    draft
      .move(nominal('produced'), nominal('production-in-process'), amount(what.litres), own)
      .move(nominal('produced'), nominal('fermentation'), amount(0, what.fermented), own);
  };
  for (const { place, what } of plan.stock) {
    move(place.key, what, subjectLine(place));
    if (plan.finished && !closed) {
      produce(what);
    }
  }
  // In a closed period both ends of what was lost since stand on the earlier period's line, and cancel.
  for (const { account, category, what, produced } of closed ? [] : plan.exits) {
    move(account, what, { ...own, category });
    if (produced) {
      produce(what);
    }
  }
}
