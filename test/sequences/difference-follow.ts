import type { Model } from './model.js';
import { inTheOrderOfTheBooks } from './restated.js';
import type { Decimal, Line, Posted } from './words.js';
import { d, isStock } from './words.js';

// Litres that the books had too many or too few of, followed from where they were wrong to where they are now.

export interface Followed {
  /** Account by account as the books first name them. */
  readonly inStock: readonly { readonly account: string; readonly litres: Decimal }[];
  readonly left: readonly {
    readonly by: string;
    /** The line of the books that they left by. */
    readonly line: string;
    /** Goods were measured or counted on their own: what has left is not touched. */
    readonly goods: boolean;
    readonly litres: Decimal;
  }[];
  /** Other compositions that took some in: how much of a litre it was, and the litres that there were. */
  readonly derived: ReadonlyMap<string, { readonly share: Decimal; readonly litres: Decimal }>;
}

/** Half of the books' last place: what is smaller is nothing. */
const SMALLEST = d('0.0000005');
/** A thousandth of that place. */
const PLACES = 9;

/** How a step treats litres that the books have wrong. */
function routeOf(model: Model, { name, samplesOf }: Posted): 'share' | 'keep' | 'settle' | 'spill' | 'stay' {
  // What readings took out is measured on its own.
  if (samplesOf !== undefined) return 'keep';
  switch (model.stepOf(name)?.kind) {
    case 'move-bulk':
    case 'move-packed':
    case 'move-material':
    case 'return':
      return 'keep';
    case 'gauge':
    case 'count':
    case 'count-bulk':
    case 'count-material':
      return 'settle';
    // Containers hold what was counted: what the vessel had more or less went with the run's loss.
    case 'pack':
      return 'spill';
    // Other values put right move no liquid.
    case 'differ':
      return 'stay';
    default:
      return 'share';
  }
}

const LOSS_LINES: Readonly<Record<string, string>> = {
  transfer: 'process-loss',
  rework: 'process-loss',
  'arrive-bulk': 'transit-loss',
  pack: 'packaging-loss',
  'count-bulk': 'stock-difference',
  gauge: 're-measurement',
};

export function follow(model: Model, since: string, start: string, change: Decimal): Followed {
  const books = new Map<string, Decimal>();
  const wrong = new Map<string, Decimal>();
  const left: Followed['left'][number][] = [];
  const derived = new Map<string, { share: Decimal; litres: Decimal }>();
  const of = (map: ReadonlyMap<string, Decimal>, account: string): Decimal => map.get(account) ?? d(0);
  const own = start.split('/')[1];
  let begun = false;
  for (const operation of inTheOrderOfTheBooks(model)) {
    const { name } = operation;
    const stock = netted(operation);
    const drawn = stock.filter(({ amount: { litres } }) => litres.lessThan(0));
    const into = stock.filter(({ amount: { litres } }) => litres.greaterThan(0));
    const route = routeOf(model, operation);
    for (const { account } of [...drawn, ...into]) if (!wrong.has(account)) wrong.set(account, d(0));
    const line = LOSS_LINES[String(model.stepOf(name)?.kind)] ?? '';
    const leaves = (litres: Decimal): void => {
      if (litres.abs().lessThan(SMALLEST)) return;
      left.push({ by: name, line, goods: route === 'keep', litres });
    };
    if (begun && route === 'settle') {
      for (const { account } of stock) {
        leaves(of(wrong, account));
        wrong.set(account, d(0));
      }
    } else if (begun && route !== 'stay') {
      let taken = d(0);
      for (const { account, amount } of drawn) {
        const [there, held] = [of(books, account), of(wrong, account)];
        const all = there.plus(amount.litres).isZero();
        if (route === 'keep' && !all) continue;
        const part = all ? held : held.times(amount.litres.negated()).dividedBy(there);
        wrong.set(account, held.minus(part));
        taken = taken.plus(part);
      }
      if (route === 'share' && into.length > 0 && drawn.length > 0) {
        const received = sum(into);
        const all = operation.timing === 'draw' ? sum(drawn).negated() : received;
        for (const { account, amount } of into) {
          const part = taken.times(amount.litres).dividedBy(all);
          wrong.set(account, of(wrong, account).plus(part));
          const [kind, what] = account.split('/');
          const isOther = (kind === 'liquid' || kind === 'bulk') && account !== start && what !== own;
          if (isOther && !part.isZero() && !derived.has(what)) {
            const litres = of(books, account).plus(amount.litres);
            derived.set(what, { share: of(wrong, account).dividedBy(litres), litres });
          }
        }
        leaves(taken.times(all.minus(received)).dividedBy(all));
      } else {
        leaves(taken);
      }
    }
    for (const { account, amount } of stock) books.set(account, of(books, account).plus(amount.litres));
    if (name === since) {
      begun = true;
      wrong.set(start, change);
    }
  }
  const inStock = [...wrong].flatMap(([account, litres]) => {
    const shown = litres.toDecimalPlaces(PLACES);
    return shown.abs().lessThan(SMALLEST) ? [] : [{ account, litres: shown }];
  });
  return { inStock, left, derived };
}

const sum = (lines: readonly Line[]): Decimal => lines.reduce((all, line) => all.plus(line.amount.litres), d(0));

/** Stock lines of an operation, one for each account. */
const netted = ({ lines }: Posted): Line[] => lines.filter(({ account }) => isStock(account));
