import { alcoholIn, micro, shareOf } from './micro.js';
import type { Micro } from './micro.js';

/** The three measures of the books. */
export interface Amount {
  readonly litres: Micro;
  readonly fermented: Micro;
  readonly added: Micro;
}

export const NOTHING: Amount = { litres: 0n, fermented: 0n, added: 0n };

export const plus = (a: Amount, b: Amount): Amount => ({
  litres: a.litres + b.litres,
  fermented: a.fermented + b.fermented,
  added: a.added + b.added,
});

const minus = (a: Amount, b: Amount): Amount => ({
  litres: a.litres - b.litres,
  fermented: a.fermented - b.fermented,
  added: a.added - b.added,
});

const part = (litres: Micro, of: Amount): Amount => ({
  litres,
  fermented: shareOf(of.fermented, litres, of.litres),
  added: shareOf(of.added, litres, of.litres),
});

export const pureAlcohol = ({ fermented, added }: Amount): Micro => fermented + added;

interface Stock {
  readonly category: string;
  readonly amount: Amount;
  readonly inProcess: boolean;
}

export const isNothing = ({ litres, fermented, added }: Amount): boolean =>
  litres === 0n && fermented === 0n && added === 0n;

export const lineKey = (category: string, line: string): string => `${category}: ${line}`;

/**
 * The same books once more, kept by hand: what stands where, and what flowed since the period began. Places are named by the ids that the service
 * gave out; litres at 20 °C, and the strengths that were found, are taken from its answers, everything that follows from them is not.
 */
export class Notebook {
  readonly #stock = new Map<string, Stock>();
  #flows = new Map<string, Amount>();
  #opening = new Map<string, Amount>();

  /** Places that hold anything. */
  get places(): ReadonlyMap<string, Amount> {
    const held = [...this.#stock].filter(([, { amount }]) => !isNothing(amount));
    return new Map(held.map(([place, { amount }]) => [place, amount]));
  }

  /** By category and line, as the effect on stock; lines that come to nothing are left out. */
  get flows(): ReadonlyMap<string, Amount> {
    return new Map([...this.#flows].filter(([, amount]) => !isNothing(amount)));
  }

  get opening(): ReadonlyMap<string, Amount> {
    return this.#opening;
  }

  get closing(): ReadonlyMap<string, Amount> {
    const totals = new Map<string, Amount>();
    for (const { category, amount } of this.#stock.values()) {
      totals.set(category, plus(totals.get(category) ?? NOTHING, amount));
    }
    return totals;
  }

  /** Carries the remaining stock over as the opening of the next period. */
  turnOver(): void {
    this.#opening = new Map(this.closing);
    this.#flows = new Map();
  }

  at(place: string): Amount {
    return this.#stock.get(place)?.amount ?? NOTHING;
  }

  /** Spirit comes in: all of its alcohol was made elsewhere. */
  receive(place: string, litres: number, strengthPercent: number): void {
    const added = alcoholIn(micro(litres), strengthPercent);
    this.#into(place, 'materials', 'receipts', { litres: micro(litres), fermented: 0n, added }, false);
  }

  charge(place: string, category: string, litres: number): void {
    this.#into(place, category, 'production-in-process', { ...NOTHING, litres: micro(litres) }, true);
  }

  /** A finding while it ferments: whatever alcohol is there has fermented. */
  find(place: string, strengthPercent: number): void {
    const { category, amount } = this.#get(place);
    const fermented = alcoholIn(amount.litres, strengthPercent) - amount.added - amount.fermented;
    this.#into(place, category, 'fermentation', { ...NOTHING, fermented }, true);
  }

  /** The finding of record: what was in process is produced. */
  finish(place: string, strengthPercent: number): void {
    this.find(place, strengthPercent);
    const { category, amount } = this.#get(place);
    this.#flow(category, 'produced', { ...NOTHING, litres: amount.litres, fermented: amount.fermented });
    this.#flow(category, 'production-in-process', { ...NOTHING, litres: -amount.litres });
    this.#flow(category, 'fermentation', { ...NOTHING, fermented: -amount.fermented });
    this.#stock.set(place, { category, amount, inProcess: false });
  }

  /** The strength stays, the litres become what was measured. */
  gauge(place: string, litres: number): void {
    const { category, amount, inProcess } = this.#get(place);
    const change = minus(part(micro(litres), amount), amount);
    const [volumeLine, alcoholLine] = inProcess
      ? ['fermentation-volume-change', 'fermentation']
      : ['re-measurement', 're-measurement'];
    this.#into(place, category, volumeLine, { ...NOTHING, litres: change.litres }, inProcess);
    this.#into(place, category, alcoholLine, { ...change, litres: 0n }, inProcess);
  }

  transfer(from: string, to: string, lostLitres: number, lossLine: string): void {
    const { category, inProcess } = this.#get(from);
    this.out(from, lostLitres, lossLine);
    this.#carry(from, to, this.at(from), category, inProcess);
  }

  dilute(place: string, waterLitres: number, volumeChangeLitres: number): void {
    const { category } = this.#get(place);
    this.#into(place, category, 'liquid-added', { ...NOTHING, litres: micro(waterLitres) }, false);
    this.#into(place, category, 'mixing-volume-change', { ...NOTHING, litres: micro(volumeChangeLitres) }, false);
  }

  /** Spirit from its material lot becomes liquid of another category. */
  useSpirit(from: string, litres: number, to: string, category: string): void {
    const drawn = part(micro(litres), this.at(from));
    this.#into(from, 'materials', 'used-as-material', minus(NOTHING, drawn), false);
    this.#into(to, category, 'used-as-material', drawn, false);
  }

  /** One run: what is there beyond the count is lost in it, or `lostLitres` if the vessel is not emptied; what is missing was under-gauged. */
  pack(from: string, to: string, count: number, nominalLitres: number, lostLitres?: number): void {
    const { category } = this.#get(from);
    const packed = BigInt(count) * micro(nominalLitres);
    const needed = packed + micro(lostLitres ?? 0);
    const gain = needed - this.at(from).litres;
    if (gain > 0n) {
      this.#into(from, category, 're-measurement', part(gain, this.at(from)), false);
    }
    const before = this.at(from);
    const drawn = lostLitres === undefined ? before : part(needed, before);
    const filled = part(packed, before);
    this.#carry(from, to, filled, category, false);
    this.#into(from, category, 'packaging-loss', minus(NOTHING, minus(drawn, filled)), false);
  }

  /** Out of stock, with its share of the alcohol. */
  out(place: string, litres: number, line: string): void {
    this.#out(place, micro(litres), line);
  }

  outPacked(place: string, count: number, nominalLitres: number, line: string): void {
    this.#out(place, BigInt(count) * micro(nominalLitres), line);
  }

  #out(place: string, litres: Micro, line: string): void {
    const { category, amount, inProcess } = this.#get(place);
    this.#into(place, category, line, minus(NOTHING, part(litres, amount)), inProcess);
  }

  #into(place: string, category: string, line: string, amount: Amount, inProcess: boolean): void {
    this.#stock.set(place, { category, amount: plus(this.at(place), amount), inProcess });
    this.#flow(category, line, amount);
  }

  #carry(from: string, to: string, amount: Amount, category: string, inProcess: boolean): void {
    this.#stock.set(from, { category, amount: minus(this.at(from), amount), inProcess });
    this.#stock.set(to, { category, amount: plus(this.at(to), amount), inProcess });
  }

  #flow(category: string, line: string, amount: Amount): void {
    const key = lineKey(category, line);
    this.#flows.set(key, plus(this.#flows.get(key) ?? NOTHING, amount));
  }

  #get(place: string): Stock {
    const stock = this.#stock.get(place);
    if (stock === undefined) {
      throw new Error(`Nothing was ever put into ${place}.`);
    }
    return stock;
  }
}
