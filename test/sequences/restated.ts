import type { Found, Model } from './model.js';
import type { Amount, Line, Posted } from './words.js';
import { alcoholOf, amount, d, isStock, Refused, six } from './words.js';
import type { Decimal } from './words.js';

// A new strength of record, down the genealogy. A vessel's composition, a packaged lot and a material lot are each one even mixture, made once:
// of each it is known how much of a litre is the liquid that was found anew, whatever was drawn or counted since.

const item = (account: string): string => {
  const [kind, what] = account.split('/');
  const held: Record<string, string> = { transit: 'packed', bulk: 'liquid' };
  return `${held[kind] ?? kind}/${what}`;
};

export const inTheOrderOfTheBooks = (model: Model): Posted[] =>
  model.posted
    .filter(({ name, reverses }) => reverses === undefined && !model.isReversed(name))
    .sort((a, b) => a.at - b.at);

/** Of a composition, by its finding: as found, or as the operation that made it had it. */
export function percentOf(model: Model, composition: string, found: Found): number {
  if (found.percent !== undefined) return found.percent;
  const made = model.named(found.by)?.lines.find(({ account }) => account.startsWith(`liquid/${composition}/`));
  if (made === undefined) throw new Error(`no liquid of ${composition} in ${found.by}`);
  return Number(alcoholOf(made.amount).dividedBy(made.amount.litres).times(100).toFixed(12));
}

/** Measured on its own, or yet to be: it stands on its own finding. */
const standsAlone = (model: Model, composition: string): boolean => {
  const found = model.foundOf(composition);
  return found?.standing !== 'of-record' || found.measured === true;
};

const negative = ({ amount: { litres } }: Line): boolean => litres.isNegative() && !litres.isZero();
const litresOf = (lines: readonly Line[]): Decimal =>
  lines.reduce((sum, line) => sum.plus(line.amount.litres.abs()), d(0));

/** What of a litre of each mixture is liquid that left a composition after an operation. */
function shares(
  model: Model,
  starts: readonly string[],
  since: string,
  isEnd: (composition: string) => boolean,
): ReadonlyMap<string, Decimal> {
  const found = new Map<string, Decimal>();
  let begun = false;
  for (const { name, timing, lines } of inTheOrderOfTheBooks(model)) {
    const stock = lines.filter(({ account }) => isStock(account));
    const [drawn, into] = [stock.filter(negative), stock.filter((line) => line.amount.litres.greaterThan(0))];
    const taken = drawn.reduce(
      (sum, line) => sum.plus((found.get(item(line.account)) ?? d(0)).times(line.amount.litres.abs())),
      d(0),
    );
    for (const made of new Set(into.map((line) => item(line.account)))) {
      if (found.has(made)) continue;
      const [kind, what] = made.split('/');
      const isOther = drawn.length > 0 && !(kind === 'liquid' && isEnd(what));
      const among = timing === 'draw' ? drawn : into;
      found.set(made, isOther ? taken.dividedBy(litresOf(among)) : d(0));
    }
    begun ||= name === since;
    if (begun) for (const each of starts) found.set(each, d(1));
  }
  return found;
}

/** The first finding of record, or the provisional one whose place that took: liquid left with it since. */
function sinceOf(model: Model, composition: string): string {
  const known = model.standing(composition);
  const two = [
    known.find((each) => each.standing === 'of-record'),
    known.filter((each) => each.standing === 'provisional').at(-1),
  ];
  const names = two.map((each) => each?.by);
  return inTheOrderOfTheBooks(model).find(({ name }) => names.includes(name))?.name ?? '';
}

export interface Restated {
  readonly lines: readonly Line[];
  /** Compositions that follow, with their strengths. */
  readonly follow: readonly { readonly composition: string; readonly percent: number }[];
}

/** A thousandth of the last place of the books. */
const PLACES = 9;

/** What a new strength of record changes besides the liquid of the composition itself. */
export function restated(model: Model, composition: string, percent: number): Restated {
  const old = model.foundOf(composition);
  if (old === undefined) return { lines: [], follow: [] };
  const inProcess = old.standing === 'provisional';
  const since = sinceOf(model, composition);
  const delta = d(percent)
    .minus(percentOf(model, composition, old))
    .dividedBy(100);
  const starts = [`liquid/${composition}`, ...model.openedWith(composition).map((each) => `packed/${each}`)];
  const of = shares(model, starts, since, (each) => standsAlone(model, each));
  const follow = followers(model, of, delta, composition);
  const held = heldOf(model, of);
  const others = held.filter(({ account }) => !account.startsWith(`liquid/${composition}/`));
  const changes = rounded(others.map(({ litres }) => litres.times(delta)));
  const pure = held.find(({ account }) => of.get(item(account))?.equals(1) === true);
  const lines = others.map(({ account, balance }, index): Line => {
    // While in process what was added is known, and the rest has fermented.
    const added = inProcess ? d(0) : six(changes[index].times(addedShare(pure?.balance ?? balance)));
    return { account, amount: amount(0, changes[index].minus(added), added) };
  });
  return { lines, follow };
}

/** A new strength of what was received: all of its alcohol counts as added, wherever it went. Liquid in process follows, until it is found finished. */
export function receivedAt(model: Model, received: string, delta: Decimal): Restated {
  const isEnd = (each: string): boolean => {
    const now = model.foundOf(each);
    return now?.standing === 'of-record' && now.measured === true;
  };
  const of = shares(model, [`material/${received}`], received, isEnd);
  const held = heldOf(model, of);
  const changes = rounded(held.map(({ litres }) => litres.times(delta)));
  const lines = held.map(({ account }, index): Line => ({ account, amount: amount(0, 0, changes[index]) }));
  return { lines, follow: followers(model, of, delta) };
}

/** Compositions of record that took it in, with their strengths. */
function followers(
  model: Model,
  of: ReadonlyMap<string, Decimal>,
  delta: Decimal,
  except?: string,
): Restated['follow'] {
  return [...of].flatMap(([mixture, share]) => {
    const [kind, what] = mixture.split('/');
    const now = kind === 'liquid' && what !== except && !share.isZero() ? model.foundOf(what) : undefined;
    if (now?.standing !== 'of-record') return [];
    const strength = d(percentOf(model, what, now)).plus(share.times(delta).times(100));
    if (strength.lessThan(0) || strength.greaterThan(100)) throw new Refused('out-of-range');
    return [{ composition: what, percent: Number(strength.toFixed(12)) }];
  });
}

interface Held {
  readonly account: string;
  readonly balance: Amount;
  readonly litres: Decimal;
}

/** What of it is in stock, account by account as the books first name them. */
function heldOf(model: Model, of: ReadonlyMap<string, Decimal>): Held[] {
  const accounts = new Set(
    inTheOrderOfTheBooks(model).flatMap(({ lines }) =>
      [...lines.filter(negative), ...lines].map(({ account }) => account).filter(isStock),
    ),
  );
  return [...accounts].flatMap((account) => {
    const balance = model.balance(account);
    const litres = balance.litres.times(of.get(item(account)) ?? 0).toDecimalPlaces(PLACES);
    return litres.isZero() ? [] : [{ account, balance, litres }];
  });
}

const addedShare = (balance: Amount): Decimal =>
  alcoholOf(balance).isZero() ? d(0) : balance.added.dividedBy(alcoholOf(balance));

/** Each to the last place, and the whole too: what rounding leaves goes to the largest. */
export function rounded(parts: readonly Decimal[]): Decimal[] {
  const total = six(parts.reduce((sum, part) => sum.plus(part), d(0)));
  const each = parts.map(six);
  const rest = total.minus(each.reduce((sum, part) => sum.plus(part), d(0)));
  const most = parts.reduce((best, part, index) => (part.abs().greaterThan(parts[best].abs()) ? index : best), 0);
  return each.map((part, index) => (index === most ? part.plus(rest) : part));
}
