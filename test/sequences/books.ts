import type { Happened } from './containers.js';
import { says, wrongWith } from './containers.js';
import type { Amount, Decimal, Line, Posted, Site } from './words.js';
import {
  CAPACITIES,
  comesBackTooOften,
  d,
  fallsBelowZero,
  FIRST_ENDS,
  isNothing,
  isStock,
  liquid,
  plus,
  Refused,
  siteOf,
  ZERO,
} from './words.js';

/** What was posted, and the rules by which it may be: order in time, later moments, vessels, periods, what is explained. */
export class Books {
  readonly #posted: Posted[] = [];
  readonly #closed = new Set<Site>();
  #before: readonly Posted[] = [];

  protected copyBooksTo(copy: Books): void {
    copy.#posted.push(...this.#posted);
    for (const site of this.#closed) copy.#closed.add(site);
  }

  get posted(): readonly Posted[] {
    return this.#posted;
  }

  named(name: string): Posted | undefined {
    return this.#posted.find((each) => each.name === name);
  }

  /** Whether one of two that stand comes after the other in the order of the books. */
  isAfter(name: string, other: string): boolean {
    const order = [...this.#posted].sort((a, b) => a.at - b.at).map((each) => each.name);
    return order.indexOf(name) > order.indexOf(other);
  }

  balance(account: string): Amount {
    return this.linesOf(account).reduce((sum, each) => plus(sum, each.amount), ZERO);
  }

  balanceAt(account: string, moment: number): Amount {
    return this.linesOf(account)
      .filter(({ at }) => at <= moment)
      .reduce((sum, each) => plus(sum, each.amount), ZERO);
  }

  /** Every stock account that was ever posted to. */
  stock(): Map<string, Amount> {
    const accounts = new Set(this.#posted.flatMap(({ lines }) => lines.map(({ account }) => account)).filter(isStock));
    return new Map([...accounts].map((account) => [account, this.balance(account)]));
  }

  /** Nothing is counted twice at one moment. */
  requireNotCounted(account: string, at: number): void {
    const isCounted = this.#posted.some(
      (each) =>
        each.asserts === 'count' &&
        each.at === at &&
        each.lines.some((line) => line.account === account) &&
        !this.isReversed(each.name),
    );
    if (isCounted) throw new Refused('conflict');
  }

  /** What a vessel holds now. */
  inVessel(vessel: string): string | undefined {
    return this.allIn(vessel)[0];
  }

  /** The same, for what happened at a moment: amid a correction there can be two, and then it is one that was there at that moment. */
  heldIn(vessel: string, moment: number, isAsked: (composition: string) => boolean): string | undefined {
    const now = this.allIn(vessel);
    if (now.length < 2) return now[0];
    const then = now.filter((each) => this.balanceAt(liquid(each, vessel), moment).litres.greaterThan(0));
    return then.find(isAsked) ?? then[0];
  }

  protected allIn(vessel: string): string[] {
    return [...this.stock()].flatMap(([account, { litres }]) => {
      const [kind, composition, where] = account.split('/');
      return kind === 'liquid' && where === vessel && litres.greaterThan(0) ? [composition] : [];
    });
  }

  linesOf(account: string): { at: number; amount: Amount }[] {
    return this.#posted.flatMap(({ at, lines }) =>
      lines.filter((line) => line.account === account).map((line) => ({ at, amount: line.amount })),
    );
  }

  isReversed(name: string): boolean {
    const reversal = this.#posted.find(({ reverses }) => reverses === name);
    return reversal !== undefined && !this.isReversed(reversal.name);
  }

  /** Openings that stand. */
  get openings(): number {
    return this.#posted.filter(({ name, opens }) => opens === true && !this.isReversed(name)).length;
  }

  isClosed(site: Site, at: number): boolean {
    return at < FIRST_ENDS && this.#closed.has(site);
  }

  /** The first period; the second is never over. */
  close(site: Site, period: 1 | 2): void {
    if (period === 2) throw new Refused('period-not-ended');
    if (this.#closed.has(site)) throw new Refused('period-closed');
    this.#closed.add(site);
  }

  /** All of one write, or none. */
  post(operations: readonly Posted[]): void {
    this.enter(operations);
    try {
      this.#look([...this.#before, ...operations]);
    } catch (error) {
      this.#posted.length -= operations.length;
      throw error;
    }
  }

  /** What is posted is looked at together with what was entered before it in the same transaction. */
  together(before: readonly Posted[], post: () => void): void {
    this.#before = before;
    try {
      post();
    } finally {
      this.#before = [];
    }
  }

  /** Each in its place in time; the later moments are not looked at. */
  enter(operations: readonly Posted[]): void {
    const before = this.#posted.length;
    try {
      for (const operation of operations) {
        // A count is posted also where the books had it right, and so is its reversal.
        const states = operation.asserts !== undefined || operation.reverses !== undefined;
        const kept = {
          ...operation,
          lines: operation.lines.filter((line) => !isNothing(line.amount) || states),
        };
        this.#requireOpen(kept);
        this.#requireOrder(kept);
        this.#posted.push(kept);
      }
      this.#requireExplained(operations);
    } catch (error) {
      this.#posted.length = before;
      throw error;
    }
  }

  forget(count: number): void {
    this.#posted.length -= count;
  }

  #look(operations: readonly Posted[]): void {
    const lines = operations.flatMap(({ at, lines: own }) => own.map((line) => ({ at, ...line })));
    const since = (account: string): number =>
      Math.min(...lines.filter((line) => line.account === account).map(({ at }) => at));
    const stock = [...new Set(lines.map(({ account }) => account))].filter(isStock);
    if (stock.some((account) => fallsBelowZero(this.linesOf(account), since(account)))) {
      throw new Refused('insufficient-stock');
    }
    if (stock.some((account) => this.#sharesItsVessel(account, since(account)))) throw new Refused('vessel-in-use');
    this.#requireCapacity(lines);
    const back = lines.filter((line) => !isStock(line.account) && line.amount.litres.isNegative());
    if (back.some(({ account, at }) => comesBackTooOften(this.linesOf(account), at))) {
      throw new Refused('returned-since');
    }
    this.#requireContainers(operations);
    if (operations.some((each) => each.opens === true || each.reverses !== undefined) && this.openings > 1) {
      throw new Refused('conflict');
    }
  }

  #requireOpen({ site, at, lines }: Posted): void {
    const sites = new Set([
      site,
      ...lines
        .map(({ account }) => account)
        .filter(isStock)
        .map(siteOf),
    ]);
    if ([...sites].some((each) => this.isClosed(each, at))) throw new Refused('period-closed');
  }

  #requireOrder(operation: Posted): void {
    const reversed = this.named(operation.reverses ?? '');
    // A count changes no composition: draws may come after it.
    const draws = operation.timing === 'draw' || (reversed ?? operation).asserts === 'count';
    const explained = this.named(operation.explains ?? '');
    const accounts = operation.lines.map(({ account }) => account).filter(isStock);
    const settled = (other: Posted, account: string): boolean =>
      explained !== undefined &&
      (other === explained || (other.at > explained.at && explained.lines.some((line) => line.account === account)));
    for (const other of this.#posted) {
      const inTheWay =
        other.at > operation.at &&
        (!draws || other.timing !== 'draw') &&
        other.reverses === undefined &&
        !this.isReversed(other.name) &&
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
        explains !== undefined && reverses === undefined && !this.isReversed(name) && this.isReversed(explains),
    );
    if (broken !== undefined) {
      throw new Refused(operations.some(({ explains }) => explains === broken.explains) ? 'conflict' : 'in-use');
    }
  }

  /** What happened to containers and stands, in the order of time and then of entry. */
  happened(): Happened[] {
    return this.#posted
      .filter(({ name }) => !this.isReversed(name))
      .flatMap(({ name, at, site, containers = [] }) => containers.map((each) => ({ ...each, by: name, at, site })))
      .sort((a, b) => a.at - b.at);
  }

  /** The last that stands of each container with a serial. */
  containers(): Map<string, Happened> {
    const last = new Map<string, Happened>();
    const before = new Map<string, Happened>();
    for (const each of this.happened()) {
      if (says(each, before.get(each.serial))) last.set(each.serial, each);
      before.set(each.serial, each);
    }
    return last;
  }

  #requireContainers(operations: readonly Posted[]): void {
    const of = ({ containers = [], reverses }: Posted): string[] => {
      const reversed = this.named(reverses ?? '');
      return [...containers.map(({ serial }) => serial), ...(reversed === undefined ? [] : of(reversed))];
    };
    const code = wrongWith(this.happened(), new Set(operations.flatMap(of)));
    if (code !== undefined) throw new Refused(code);
  }

  /** No vessel over its capacity at a moment to which the write has raised what it holds. */
  #requireCapacity(lines: readonly (Line & { readonly at: number })[]): void {
    for (const [vessel, capacity] of CAPACITIES) {
      const isInIt = ({ account }: Line): boolean => account.startsWith('liquid/') && account.split('/')[2] === vessel;
      const own = lines.filter(isInIt);
      const all = this.#posted.flatMap(({ at, lines: each }) => each.filter(isInIt).map((line) => ({ at, ...line })));
      const until = (those: typeof all, moment: number): Decimal =>
        those.filter(({ at }) => at <= moment).reduce((sum, line) => sum.plus(line.amount.litres), d(0));
      const isOver = all.some(({ at }) => until(own, at).greaterThan(0) && until(all, at).greaterThan(capacity));
      if (isOver) throw new Refused('over-capacity');
    }
  }

  /** Two compositions in one vessel, at the moment of the event or at a later one. */
  #sharesItsVessel(account: string, from: number): boolean {
    const [kind, composition, vessel] = account.split('/');
    if (kind !== 'liquid') return false;
    const others = [...this.stock().keys()].filter((other) => {
      const [otherKind, otherComposition, otherVessel] = other.split('/');
      return otherKind === 'liquid' && otherVessel === vessel && otherComposition !== composition;
    });
    const holds = (each: string, at: number): boolean => this.balanceAt(each, at).litres.greaterThan(0);
    return [account, ...others]
      .flatMap((each) => this.linesOf(each).map(({ at }) => at))
      .filter((at) => at >= from)
      .some((at) => holds(account, at) && others.some((other) => holds(other, at)));
  }
}
