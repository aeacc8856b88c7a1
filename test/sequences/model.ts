import { Decimal as Base } from 'decimal.js';
import { mix } from '../../src/alcoholometry/mixing/mix.js';

// The plain model of the books: amounts in exact decimals, rules written anew from the design, no database, no code of the service but
// the physics of mixing, which is not what is tested here.

const Decimal = Base.clone({ precision: 40, rounding: Base.ROUND_HALF_EVEN });
type Decimal = Base;
const d = (value: Base.Value): Decimal => new Decimal(value);
const six = (value: Decimal): Decimal => value.toDecimalPlaces(6, Base.ROUND_HALF_EVEN);

export interface Amount {
  readonly litres: Decimal;
  readonly alcohol: Decimal;
}

const ZERO: Amount = { litres: d(0), alcohol: d(0) };
const plus = (a: Amount, b: Amount): Amount => ({
  litres: a.litres.plus(b.litres),
  alcohol: a.alcohol.plus(b.alcohol),
});
const negated = (a: Amount): Amount => ({ litres: a.litres.negated(), alcohol: a.alcohol.negated() });
const minus = (a: Amount, b: Amount): Amount => plus(a, negated(b));

export type Timing = 'draw' | 'change' | 'assertion';

interface Line {
  readonly account: string;
  readonly amount: Amount;
}

interface Posted {
  readonly name: string;
  readonly at: number;
  readonly timing: Timing;
  readonly lines: readonly Line[];
  readonly reverses?: string;
}

interface Composition {
  readonly lot: string;
  readonly finished: boolean;
  /** Undone when the operation that declared it finished, or opened it, is reversed. */
  readonly finishedBy?: string;
  readonly openedBy: string;
}

/** A step as it is asked for; times in hours from the start of the open period. */
export type Step =
  | {
      readonly kind: 'charge';
      readonly lot: string;
      readonly vessel: string;
      readonly litres: string;
      readonly at: number;
    }
  | {
      readonly kind: 'find';
      readonly lot: string;
      readonly composition: string;
      readonly strength: string;
      readonly at: number;
    }
  | {
      readonly kind: 'gauge';
      readonly lot: string;
      readonly vessel: string;
      readonly litres: string;
      readonly at: number;
    }
  | {
      readonly kind: 'transfer';
      readonly lot: string;
      readonly from: string;
      readonly to: string;
      readonly litres: string;
      readonly loss: string;
      readonly at: number;
    }
  | {
      readonly kind: 'dilute';
      readonly lot: string;
      readonly vessel: string;
      readonly water: string;
      readonly at: number;
    }
  | {
      readonly kind: 'pack';
      readonly lot: string;
      readonly vessel: string;
      readonly count: number;
      readonly loss?: string;
      readonly at: number;
    }
  | {
      readonly kind: 'draw';
      readonly lot: string;
      readonly vessel: string;
      readonly litres: string;
      readonly at: number;
    }
  | { readonly kind: 'release'; readonly packaged: string; readonly count: number; readonly at: number }
  | { readonly kind: 'reverse'; readonly operation: string };

/** `ok`, or the code of the problem. */
export type Outcome = string;

class Refused extends Error {
  constructor(readonly code: string) {
    super(code);
  }
}

/** Containers of the model's runs hold half a litre. */
export const NOMINAL = d('0.5');

export const liquid = (composition: string, vessel: string): string => `liquid/${composition}/${vessel}`;
export const packed = (packaged: string): string => `packed/${packaged}`;
const isStock = (account: string): boolean => account.startsWith('liquid/') || account.startsWith('packed/');

function drawn(balance: Amount, litres: Decimal): Amount {
  if (litres.equals(balance.litres)) {
    return balance;
  }
  return { litres, alcohol: six(balance.alcohol.times(litres).dividedBy(balance.litres)) };
}

export class Model {
  readonly #posted: Posted[] = [];
  readonly #compositions = new Map<string, Composition>();
  readonly #packaged = new Map<string, { composition: string; openedBy: string }>();

  /** Carries a step out under a name, or refuses it and changes nothing. Names of operations and of what they make are the caller's. */
  take(step: Step, name: string): Outcome {
    try {
      this.#take(step, name);
      return 'ok';
    } catch (error) {
      if (error instanceof Refused) {
        return error.code;
      }
      throw error;
    }
  }

  /** A copy to try on. */
  copy(): Model {
    const copy = new Model();
    copy.#posted.push(...this.#posted);
    for (const [id, composition] of this.#compositions) copy.#compositions.set(id, composition);
    for (const [id, packaged] of this.#packaged) copy.#packaged.set(id, packaged);
    return copy;
  }

  get operations(): readonly { readonly name: string; readonly at: number }[] {
    return this.#posted;
  }

  balance(account: string): Amount {
    return this.#linesOf(account).reduce((sum, { amount }) => plus(sum, amount), ZERO);
  }

  /** Every stock account that was ever posted to. */
  stock(): Map<string, Amount> {
    const accounts = new Set(this.#posted.flatMap(({ lines }) => lines.map(({ account }) => account)).filter(isStock));
    return new Map([...accounts].sort().map((account) => [account, this.balance(account)]));
  }

  inVessel(vessel: string): string | undefined {
    for (const [account, { litres }] of this.stock()) {
      const [kind, composition, where] = account.split('/');
      if (kind === 'liquid' && where === vessel && litres.greaterThan(0)) {
        return composition;
      }
    }
    return undefined;
  }

  vesselsOf(composition: string): string[] {
    return [...this.stock()]
      .filter(([account, { litres }]) => account.startsWith(`liquid/${composition}/`) && litres.greaterThan(0))
      .map(([account]) => account.split('/')[2]);
  }

  compositionsOf(lot: string): string[] {
    return [...this.#compositions].filter(([, each]) => each.lot === lot).map(([id]) => id);
  }

  isFinished(composition: string): boolean {
    const facts = this.#compositions.get(composition);
    return (
      facts !== undefined && facts.finished && (facts.finishedBy === undefined || !this.#isReversed(facts.finishedBy))
    );
  }

  get packagedLots(): string[] {
    return [...this.#packaged.keys()];
  }

  #linesOf(account: string): { at: number; amount: Amount }[] {
    return this.#posted.flatMap(({ at, lines }) =>
      lines.filter((line) => line.account === account).map(({ amount }) => ({ at, amount })),
    );
  }

  #isReversed(name: string): boolean {
    const reversal = this.#posted.find(({ reverses }) => reverses === name);
    return reversal !== undefined && !this.#isReversed(reversal.name);
  }

  #liquidIn(lot: string, vessel: string): { composition: string; balance: Amount } {
    for (const composition of this.compositionsOf(lot)) {
      const balance = this.balance(liquid(composition, vessel));
      if (balance.litres.greaterThan(0)) {
        return { composition, balance };
      }
    }
    throw new Refused('insufficient-stock');
  }

  #take(step: Step, name: string): void {
    switch (step.kind) {
      case 'charge': {
        if (this.inVessel(step.vessel) !== undefined) throw new Refused('vessel-in-use');
        const litres = d(step.litres);
        this.#post({
          name,
          at: step.at,
          timing: 'change',
          lines: [{ account: liquid(name, step.vessel), amount: { litres, alcohol: d(0) } }],
        });
        this.#compositions.set(name, { lot: step.lot, finished: false, openedBy: name });
        return;
      }
      case 'find': {
        const vessels = this.vesselsOf(step.composition);
        if (vessels.length === 0) throw new Refused('conflict');
        const lines = vessels.map((vessel) => {
          const account = liquid(step.composition, vessel);
          const balance = this.balance(account);
          const alcohol = six(balance.litres.times(step.strength).dividedBy(100));
          return { account, amount: { litres: d(0), alcohol: alcohol.minus(balance.alcohol) } };
        });
        this.#post({ name, at: step.at, timing: 'assertion', lines });
        const facts = this.#compositions.get(step.composition);
        if (facts !== undefined)
          this.#compositions.set(step.composition, { ...facts, finished: true, finishedBy: name });
        return;
      }
      case 'gauge': {
        const { composition, balance } = this.#liquidIn(step.lot, step.vessel);
        const litres = d(step.litres);
        const alcohol = six(balance.alcohol.times(litres).dividedBy(balance.litres));
        const amount = minus({ litres, alcohol }, balance);
        this.#post({
          name,
          at: step.at,
          timing: 'assertion',
          lines: [{ account: liquid(composition, step.vessel), amount }],
        });
        return;
      }
      case 'transfer': {
        const { composition, balance } = this.#liquidIn(step.lot, step.from);
        const there = this.inVessel(step.to);
        if (there !== undefined && there !== composition) throw new Refused('vessel-in-use');
        const [litres, loss] = [d(step.litres), d(step.loss)];
        if (litres.greaterThan(balance.litres) || loss.greaterThan(litres)) throw new Refused('insufficient-stock');
        const out = drawn(balance, litres);
        const lost = loss.isZero() ? ZERO : drawn(out, loss);
        this.#post({
          name,
          at: step.at,
          timing: 'draw',
          lines: [
            { account: liquid(composition, step.from), amount: negated(out) },
            { account: liquid(composition, step.to), amount: minus(out, lost) },
          ],
        });
        return;
      }
      case 'dilute':
        return this.#dilute(step, name);
      case 'pack':
        return this.#pack(step, name);
      case 'draw': {
        const { composition, balance } = this.#liquidIn(step.lot, step.vessel);
        const litres = d(step.litres);
        if (litres.greaterThan(balance.litres)) throw new Refused('insufficient-stock');
        this.#post({
          name,
          at: step.at,
          timing: 'draw',
          lines: [{ account: liquid(composition, step.vessel), amount: negated(drawn(balance, litres)) }],
        });
        return;
      }
      case 'release': {
        const balance = this.balance(packed(step.packaged));
        const litres = NOMINAL.times(step.count);
        if (litres.greaterThan(balance.litres)) throw new Refused('insufficient-stock');
        this.#post({
          name,
          at: step.at,
          timing: 'draw',
          lines: [{ account: packed(step.packaged), amount: negated(drawn(balance, litres)) }],
        });
        return;
      }
      case 'reverse': {
        const original = this.#posted.find((each) => each.name === step.operation);
        if (original === undefined) throw new Error(`no operation ${step.operation}`);
        if (this.#posted.some(({ reverses }) => reverses === step.operation)) throw new Refused('conflict');
        this.#post({
          name,
          at: original.at,
          timing: original.timing,
          lines: original.lines.map(({ account, amount }) => ({ account, amount: negated(amount) })),
          reverses: step.operation,
        });
      }
    }
  }

  #dilute(step: Extract<Step, { kind: 'dilute' }>, name: string): void {
    const { composition, balance } = this.#liquidIn(step.lot, step.vessel);
    if (!this.isFinished(composition)) throw new Refused('finding-needed');
    const water = d(step.water);
    const parts = [
      {
        volumeL: balance.litres.toNumber(),
        strengthPercent: balance.alcohol.dividedBy(balance.litres).times(100).toNumber(),
      },
      { volumeL: water.toNumber(), strengthPercent: 0 },
    ];
    const litres = six(d(mix(parts).volumeL));
    this.#post({
      name,
      at: step.at,
      timing: 'change',
      lines: [
        { account: liquid(composition, step.vessel), amount: negated(balance) },
        { account: liquid(name, step.vessel), amount: { litres, alcohol: balance.alcohol } },
      ],
    });
    this.#compositions.set(name, { lot: step.lot, finished: true, finishedBy: name, openedBy: name });
  }

  #pack(step: Extract<Step, { kind: 'pack' }>, name: string): void {
    const { composition, balance } = this.#liquidIn(step.lot, step.vessel);
    if (!this.isFinished(composition)) throw new Refused('finding-needed');
    const filled = NOMINAL.times(step.count);
    const needed = filled.plus(step.loss ?? 0);
    // Gains are tried elsewhere: here a run takes what is there or is refused.
    if (needed.greaterThan(balance.litres)) throw new Refused('insufficient-stock');
    const out = drawn(balance, step.loss === undefined ? balance.litres : needed);
    this.#post({
      name,
      at: step.at,
      timing: 'draw',
      lines: [
        { account: liquid(composition, step.vessel), amount: negated(out) },
        { account: packed(name), amount: drawn(balance, filled) },
      ],
    });
    this.#packaged.set(name, { composition, openedBy: name });
  }

  #post(operation: Posted): void {
    const accounts = operation.lines.map(({ account }) => account);
    for (const other of this.#posted) {
      const inTheWay =
        other.at > operation.at &&
        (operation.timing !== 'draw' || other.timing !== 'draw') &&
        other.reverses === undefined &&
        !this.#isReversed(other.name) &&
        other.lines.some(({ account }) => accounts.includes(account));
      if (inTheWay) {
        throw new Refused(operation.timing === 'draw' ? 'assertion-in-the-way' : 'later-posting-in-the-way');
      }
    }
    this.#posted.push(operation);
    if (accounts.some((account) => this.#fallsBelowZero(account, operation.at))) {
      this.#posted.pop();
      throw new Refused('insufficient-stock');
    }
    if (accounts.some((account) => this.#sharesItsVessel(account))) {
      this.#posted.pop();
      throw new Refused('vessel-in-use');
    }
  }

  /** Two compositions in one vessel now. */
  #sharesItsVessel(account: string): boolean {
    const [kind, composition, vessel] = account.split('/');
    if (kind !== 'liquid' || !this.balance(account).litres.greaterThan(0)) return false;
    return [...this.stock()].some(([other, { litres }]) => {
      const [otherKind, otherComposition, otherVessel] = other.split('/');
      return (
        otherKind === 'liquid' && otherVessel === vessel && otherComposition !== composition && litres.greaterThan(0)
      );
    });
  }

  /** At any moment from `from` on, all postings of one instant taken together. */
  #fallsBelowZero(account: string, from: number): boolean {
    const lines = this.#linesOf(account);
    const moments = [...new Set(lines.map(({ at }) => at))].filter((at) => at >= from);
    return moments.some((moment) => {
      const { litres, alcohol } = lines
        .filter(({ at }) => at <= moment)
        .reduce<Amount>((sum, { amount }) => plus(sum, amount), ZERO);
      return litres.isNegative() && !litres.isZero()
        ? true
        : (alcohol.isNegative() && !alcohol.isZero()) ||
            alcohol.greaterThan(litres) ||
            (litres.isZero() && !alcohol.isZero());
    });
  }
}
