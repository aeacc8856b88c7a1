import { mix } from '../../src/alcoholometry/mixing/mix.js';
import type { Decimal, Amount, Posted, Composition, Step, Outcome } from './words.js';
import {
  d,
  six,
  ZERO,
  plus,
  negated,
  minus,
  Refused,
  NOMINAL,
  liquid,
  packed,
  gone,
  counter,
  isStock,
  drawn,
  fallsBelowZero,
  sharesItsVessel,
} from './words.js';

// The plain model of the books: amounts in exact decimals, rules written anew from the design, no database, no code of the service but
// the physics of mixing, which is not what is tested here.

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

  /** What can be asked to be reversed: a counter-entry goes with its entry. */
  get operations(): readonly { readonly name: string; readonly at: number }[] {
    return this.#posted.filter(({ name }) => !name.endsWith('+'));
  }

  balanceAt(account: string, moment: number): Amount {
    return this.#linesOf(account)
      .filter(({ at }) => at <= moment)
      .reduce((sum, { amount }) => plus(sum, amount), ZERO);
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

  /** Gauges and counts, with the account that each is of. */
  get assertions(): readonly { readonly name: string; readonly at: number; readonly account: string }[] {
    return this.#posted
      .filter(({ asserts }) => asserts !== undefined)
      .map(({ name, at, lines }) => ({ name, at, account: lines[0].account }));
  }

  lotOf(composition: string): string | undefined {
    return this.#compositions.get(composition)?.lot;
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
          asserts: 'gauge',
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
        if (step.explains !== undefined) {
          const isOwn = (account: string): boolean => {
            const [kind, composition, vessel] = account.split('/');
            return kind === 'liquid' && vessel === step.vessel && this.lotOf(composition) === step.lot;
          };
          this.#explain(name, step.at, step.explains, d(step.litres), isOwn);
          return;
        }
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
        const litres = NOMINAL.times(step.count);
        if (step.explains !== undefined) {
          const isOwn = (account: string): boolean => account === packed(step.packaged);
          this.#explain(name, step.at, step.explains, litres, isOwn, gone(step.packaged));
          return;
        }
        const balance = this.balance(packed(step.packaged));
        if (litres.greaterThan(balance.litres)) throw new Refused('insufficient-stock');
        this.#post({
          name,
          at: step.at,
          timing: 'draw',
          lines: [
            { account: packed(step.packaged), amount: negated(drawn(balance, litres)) },
            { account: gone(step.packaged), amount: drawn(balance, litres) },
          ],
        });
        return;
      }
      case 'return': {
        const out = this.balanceAt(gone(step.packaged), step.at);
        const litres = NOMINAL.times(step.count);
        if (litres.greaterThan(out.litres)) throw new Refused('insufficient-stock');
        const back = drawn(out, litres);
        this.#post({
          name,
          at: step.at,
          timing: 'draw',
          lines: [
            { account: packed(step.packaged), amount: back },
            { account: gone(step.packaged), amount: negated(back) },
          ],
        });
        return;
      }
      case 'count':
        return this.#count(step, name);
      case 'reverse': {
        const original = this.#posted.find((each) => each.name === step.operation);
        if (original === undefined) throw new Error(`no operation ${step.operation}`);
        if (this.#posted.some(({ reverses }) => reverses === step.operation)) throw new Refused('conflict');
        const together = this.#posted.filter((each) => each === original || each.name === counter(original.name));
        this.#post(
          ...together.map((each) => ({
            name: each === original ? name : counter(name),
            at: each.at,
            timing: each.timing,
            explains: each.explains,
            lines: each.lines.map(({ account, amount }) => ({ account, amount: negated(amount) })),
            reverses: each.name,
          })),
        );
      }
    }
  }

  /** A draw before a later gauge or count, and at that one what puts the same back: what was asserted still stands. */
  #explain(
    name: string,
    at: number,
    explains: string,
    litres: Decimal,
    isOwn: (account: string) => boolean,
    into?: string,
  ): void {
    const assertion = this.#posted.find((each) => each.name === explains);
    if (assertion?.asserts === undefined || this.#isReversed(explains) || assertion.at <= at) {
      throw new Refused('conflict');
    }
    const account = assertion.lines.map((line) => line.account).find(isOwn);
    if (account === undefined) throw new Refused('conflict');
    const balance = this.balanceAt(account, at);
    if (litres.greaterThan(balance.litres)) throw new Refused('insufficient-stock');
    const out = drawn(balance, litres);
    const received = into === undefined ? [] : [{ account: into, amount: out }];
    this.#post(
      { name, at, timing: 'draw', explains, lines: [{ account, amount: negated(out) }, ...received] },
      { name: counter(name), at: assertion.at, timing: 'draw', explains, lines: [{ account, amount: out }] },
    );
  }

  #count(step: Extract<Step, { kind: 'count' }>, name: string): void {
    const account = packed(step.packaged);
    const balance = this.balanceAt(account, step.at);
    const run = this.#posted.find((each) => each.name === step.packaged);
    const filled = run?.lines.find((line) => line.account === account)?.amount;
    if (balance.litres.isZero() && (run === undefined || run.at > step.at || this.#isReversed(run.name))) {
      throw new Refused('conflict');
    }
    const strengthOf = balance.litres.isZero() && filled !== undefined ? filled : balance;
    const litres = NOMINAL.times(step.count);
    const found = litres.equals(strengthOf.litres)
      ? strengthOf
      : { litres, alcohol: six(strengthOf.alcohol.times(litres).dividedBy(strengthOf.litres)) };
    const counted = this.#posted.some(
      (each) =>
        each.asserts === 'count' &&
        each.at === step.at &&
        each.lines.some((line) => line.account === account) &&
        !this.#isReversed(each.name),
    );
    if (counted) throw new Refused('conflict');
    this.#post({
      name,
      at: step.at,
      timing: 'assertion',
      asserts: 'count',
      lines: [{ account, amount: minus(found, balance) }],
    });
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
        // One draw out of the other, so that rounding leaves no line with alcohol and no litres.
        { account: packed(name), amount: drawn(out, filled) },
      ],
    });
    this.#packaged.set(name, { composition, openedBy: name });
  }

  /** All of one write, or none: each in its place in time, then what explains and is explained, then every later moment. */
  #post(...operations: readonly Posted[]): void {
    const before = this.#posted.length;
    try {
      for (const operation of operations) {
        this.#requireOrder(operation);
        this.#posted.push(operation);
      }
      this.#requireExplained(operations);
      const accounts = new Set(operations.flatMap(({ lines }) => lines.map(({ account }) => account)).filter(isStock));
      const from = Math.min(...operations.map(({ at }) => at));
      if ([...accounts].some((account) => fallsBelowZero(this.#linesOf(account), from)))
        throw new Refused('insufficient-stock');
      if ([...accounts].some((account) => sharesItsVessel(account, from, this.#posted)))
        throw new Refused('vessel-in-use');
      const less = operations
        .flatMap(({ lines }) => lines)
        .filter(({ account, amount }) => account.startsWith('gone/') && amount.litres.isNegative());
      if (
        less.some(({ account }) =>
          this.#linesOf(account).some(({ at }) => at >= from && this.balanceAt(account, at).litres.isNegative()),
        )
      )
        throw new Refused('returned-since');
    } catch (error) {
      this.#posted.length = before;
      throw error;
    }
  }

  #requireOrder(operation: Posted): void {
    const reversed = this.#posted.find(({ name }) => name === operation.reverses);
    // A count changes no composition: draws may come after it.
    const draws = operation.timing === 'draw' || (reversed ?? operation).asserts === 'count';
    const explained = this.#posted.find(({ name }) => name === operation.explains);
    const accounts = operation.lines.map(({ account }) => account).filter(isStock);
    const settled = (other: Posted, account: string): boolean =>
      explained !== undefined &&
      (other === explained || (other.at > explained.at && explained.lines.some((line) => line.account === account)));
    for (const other of this.#posted) {
      const inTheWay =
        other.at > operation.at &&
        (!draws || other.timing !== 'draw') &&
        other.reverses === undefined &&
        !this.#isReversed(other.name) &&
        other.lines.some(({ account }) => accounts.includes(account) && !settled(other, account));
      if (inTheWay) {
        throw new Refused(operation.timing === 'draw' ? 'assertion-in-the-way' : 'later-posting-in-the-way');
      }
    }
  }

  /** Nothing that stands explains what is reversed. */
  #requireExplained(operations: readonly Posted[]): void {
    const broken = this.#posted.find(
      ({ name, explains, reverses }) =>
        explains !== undefined && reverses === undefined && !this.#isReversed(name) && this.#isReversed(explains),
    );
    if (broken !== undefined) {
      throw new Refused(operations.some(({ explains }) => explains === broken.explains) ? 'conflict' : 'in-use');
    }
  }
}

export type { Amount, Outcome, Step, Timing } from './words.js';
export { liquid, NOMINAL, packed } from './words.js';
