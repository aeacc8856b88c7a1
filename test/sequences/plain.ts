import type { Dice, Wish } from './dice.js';
import type { Model } from './model.js';
import type { Owner } from './owners.js';
import { anyOwner } from './owners.js';
import type { Added, PlainEntry } from './step.js';
import type { Decimal } from './words.js';
import { d } from './words.js';

// Material lots without alcohol: a quantity on hand beside the books, in the unit of the lot.

const STUFFS = ['sugar', 'fining', 'syrup'] as const;
export type Stuff = (typeof STUFFS)[number];

/** What came in of each, kg or L: little enough that more is used at times. */
export const RECEIVED = '30';
export const unitOf = (stuff: Stuff): string => (stuff === 'syrup' ? 'L' : 'kg');
const plainLot = (stuff: Stuff, owner: Owner): string => `${stuff}/lot/${owner}`;

interface Entry {
  readonly by: string;
  readonly lot: string;
  readonly at: number;
  readonly what: 'used' | PlainEntry['what'];
  readonly quantity: Decimal;
}

/** Entries in the order in which they were entered. */
export class PlainStock {
  readonly #entries: Entry[] = [];

  copyTo(copy: PlainStock): void {
    copy.#entries.push(...this.#entries);
  }
  enter(entry: Entry): void {
    this.#entries.push(entry);
  }

  /** The last count in time, or what came in, less what was taken after it; what was reversed does not count. */
  onHand(lot: string, isReversed: (name: string) => boolean): Decimal {
    return this.#entries
      .filter((each) => each.lot === lot && !isReversed(each.by))
      .sort((a, b) => a.at - b.at)
      .reduce((rest, { what, quantity }) => (what === 'counted' ? quantity : rest.minus(quantity)), d(RECEIVED));
  }
}

/** What an addition takes from a material lot without alcohol. */
export function usedOf(added: Added): { lot: string; quantity: Decimal } | undefined {
  if (added.what === 'sugar' || added.what === 'fining') {
    return { lot: plainLot(added.what, added.owner), quantity: d(added.kilograms) };
  }
  return added.what === 'syrup' ? { lot: plainLot('syrup', added.owner), quantity: d(added.litres) } : undefined;
}

export function plainEntry(model: Model, { stuff, owner, what, quantity, at }: PlainEntry, name: string): void {
  model.post([{ name, site: 'here', at, timing: 'draw', lines: [] }]);
  model.plain.enter({ by: name, lot: plainLot(stuff, owner), at, what, quantity: d(quantity) });
}

export function plainSteps(dice: Dice, at: number): Wish[] {
  const of = () => ({ kind: 'plain-entry' as const, stuff: dice.pick(STUFFS), owner: anyOwner(dice), at });
  return [
    [0.3, () => ({ ...of(), what: 'counted', quantity: dice.litres(0, 40, 3) })],
    [0.3, () => ({ ...of(), what: 'written-off', quantity: dice.litres(0.1, 20, 3) })],
  ];
}
