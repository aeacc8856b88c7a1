import { MetrologyError } from '../../src/metrology/problem.js';
import { Books } from './books.js';
import { add, blend, charge, crop, dilute, find, gauge, receipt, spirit, split, transfer } from './cellar.js';
import { differ } from './differences.js';
import { emptiesBack } from './containers.js';
import { countMaterial, moveMaterial, requireMaterialWay } from './materials.js';
import { arrive, count, pack, relabel, repack, rework, send } from './packed.js';
import type { Owner } from './owners.js';
import { correct, countBulk, moveBulk, movePacked, open, reverse, takeBack } from './moves.js';
import { beside, isBeside, Readings } from './samples.js';
import { plainEntry, PlainStock } from './plain.js';
import type { Differ, Event, Step } from './step.js';
import type { Consignment } from './way.js';
import { arriveInBulk, sendBulk } from './way.js';
import type { Amount, Decimal, Duty, Outcome, Site } from './words.js';
import { counter, d, inBulk, liquid, Refused } from './words.js';

// The plain model of the books: amounts in exact decimals, rules written anew from the design, no database, no code of the service but
// the physics of mixing, which is not what is tested here.

/** What says how strong a composition is; it counts while the operation that made it stands. */
export interface Found {
  readonly by: string;
  readonly standing: 'of-record' | 'provisional';
  readonly extract: number;
  /** In % vol; where it is not said, that of the liquid as the operation made it. */
  readonly percent?: number;
  /** By itself, and not by what it was made of. */
  readonly measured?: boolean;
}
interface Composition {
  readonly lot: string;
  readonly found: readonly Found[];
}
interface Packaged {
  readonly composition: string;
  readonly nominal: string;
  /** The operation that filled it. */
  readonly by: string;
}
interface Transit {
  readonly packaged: string;
  readonly count: number;
  readonly serials?: readonly string[];
  readonly from: Site;
  readonly to: Site;
  readonly duty: Duty;
  readonly at: number;
  readonly arrivals: readonly string[];
}

export class Model extends Books {
  readonly readings = new Readings();
  readonly plain = new PlainStock();
  readonly #compositions = new Map<string, Composition>();
  readonly #packaged = new Map<string, Packaged>();
  readonly #transits = new Map<string, Transit>();
  readonly #materials = new Map<string, Owner>();
  readonly #paid = new Set<string>();
  readonly #steps = new Map<string, Event | Differ>();
  /** What was sent in bulk. */
  readonly consignments = new Map<string, Consignment>();

  /** Carries a step out under a name, or refuses it and changes nothing. Names of operations and of what they make are the caller's. */
  take(step: Step, name: string): Outcome {
    try {
      this.#take(step, name);
      return 'ok';
    } catch (error) {
      if (error instanceof Refused) return error.code;
      if (error instanceof MetrologyError) return error.rule === 'out-of-range' ? 'out-of-range' : 'not-computable';
      throw error;
    }
  }

  #take(step: Step, name: string): void {
    if (step.kind === 'reverse') return reverse(this, step.operation, name);
    if (step.kind === 'close') return this.close(step.site, step.period);
    if (step.kind === 'correct') {
      if (step.by.kind === 'move-material') requireMaterialWay(step.by);
      return correct(this, step, name);
    }
    if (isBeside(step)) return beside(this, step, name);
    if (step.kind === 'differ') {
      differ(this, step, name);
      this.#steps.set(name, step);
      return;
    }
    this.event(step, name);
  }

  event(step: Event, name: string): void {
    this.#event(step, name);
    this.#steps.set(name, step);
  }

  /** What an operation, or its counter-entry, was entered as; a reversal was not. */
  stepOf(name: string): Event | Differ | undefined {
    return this.#steps.get(name.endsWith(counter('')) ? name.slice(0, -counter('').length) : name);
  }

  #event(step: Event, name: string): void {
    switch (step.kind) {
      case 'charge':
        return charge(this, step, name);
      case 'receipt':
        return receipt(this, step, name);
      case 'spirit':
        return spirit(this, step, name);
      case 'find':
        return find(this, step, name);
      case 'gauge':
        return gauge(this, step, name);
      case 'transfer':
        return transfer(this, step, name);
      case 'dilute':
        return dilute(this, step, name);
      case 'blend':
        return blend(this, step, name);
      case 'add':
        return add(this, step, name);
      case 'split':
        return split(this, step, name);
      case 'crop':
        return crop(this, step, name);
      case 'pack':
        return pack(this, step, name);
      case 'repack':
        return repack(this, step, name);
      case 'relabel':
        return relabel(this, step, name);
      case 'rework':
        return rework(this, step, name);
      case 'move-bulk':
        return moveBulk(this, step, name);
      case 'move-packed':
        return movePacked(this, step, name);
      case 'move-material':
        return moveMaterial(this, step, name);
      case 'plain-entry':
        return plainEntry(this, step, name);
      case 'count-material':
        return countMaterial(this, step, name);
      case 'return':
        return takeBack(this, step, name);
      case 'count':
        return count(this, step, name);
      case 'count-bulk':
        return countBulk(this, step, name);
      case 'send':
        return send(this, step, name);
      case 'arrive':
        return arrive(this, step, name);
      case 'empties':
        return emptiesBack(this, step, name);
      case 'send-bulk':
        return sendBulk(this, step, name);
      case 'arrive-bulk':
        return arriveInBulk(this, step, name);
      case 'opening':
        return open(this, step, name);
    }
  }

  /** A copy to try on. */
  copy(): Model {
    const copy = new Model();
    this.copyBooksTo(copy);
    this.readings.copyTo(copy.readings);
    this.plain.copyTo(copy.plain);
    for (const [id, each] of this.#compositions) copy.#compositions.set(id, each);
    for (const [id, each] of this.#packaged) copy.#packaged.set(id, each);
    for (const [id, each] of this.#transits) copy.#transits.set(id, each);
    for (const [id, step] of this.#steps) copy.#steps.set(id, step);
    for (const [id, owner] of this.#materials) copy.#materials.set(id, owner);
    for (const id of this.#paid) copy.#paid.add(id);
    for (const [id, each] of this.consignments) copy.consignments.set(id, each);
    return copy;
  }

  opens(composition: string, lot: string, ...found: readonly Found[]): void {
    this.#compositions.set(composition, { lot, found });
  }
  finds(composition: string, found: Found): void {
    const facts = this.#compositions.get(composition);
    if (facts !== undefined) this.#compositions.set(composition, { ...facts, found: [...facts.found, found] });
  }
  fills(packaged: string, facts: Packaged): void {
    this.#packaged.set(packaged, facts);
  }
  sends(name: string, facts: Transit): void {
    this.#transits.set(name, facts);
  }
  arrives(name: string, by: string): void {
    const facts = this.transit(name);
    this.#transits.set(name, { ...facts, arrivals: [...facts.arrivals, by] });
  }
  receives(material: string, owner: Owner, duty: Duty): void {
    this.#materials.set(material, owner);
    if (duty === 'paid') this.#paid.add(material);
  }

  /** What can be asked to be reversed: a counter-entry goes with its entry. */
  get operations(): readonly { readonly name: string; readonly at: number }[] {
    return this.posted.filter(({ name }) => !name.endsWith(counter('')));
  }
  get packagedLots(): string[] {
    return [...this.#packaged.keys()];
  }
  dutyOf(material: string): Duty {
    return this.#paid.has(material) ? 'paid' : 'suspended';
  }
  get materials(): readonly string[] {
    return [...this.#materials.keys()];
  }
  get transits(): string[] {
    return [...this.#transits.keys()];
  }
  get isOpened(): boolean {
    return this.openings > 0;
  }

  /** Gauges and counts, with the account that each is of. */
  get assertions(): readonly { readonly name: string; readonly at: number; readonly account: string }[] {
    return this.posted
      .filter(({ asserts }) => asserts !== undefined)
      .map(({ name, at, lines }) => ({ name, at, account: lines[0].account }));
  }

  ownerOfMaterial(name: string): Owner {
    return this.#materials.get(name) ?? missing(name);
  }
  packaged(name: string): Packaged {
    return this.#packaged.get(name) ?? missing(name);
  }
  transit(name: string): Transit {
    return this.#transits.get(name) ?? missing(name);
  }
  consignment(name: string): Consignment {
    return this.consignments.get(name) ?? missing(name);
  }
  /** What of a consignment is on the way. */
  sentIn(name: string): Decimal {
    const { composition, from } = this.consignment(name);
    return this.balance(inBulk(composition, name, from)).litres;
  }
  lotOf(composition: string): string {
    return (this.#compositions.get(composition) ?? missing(composition)).lot;
  }
  nominal(packaged: string, containers: number) {
    return d(this.packaged(packaged).nominal).times(containers);
  }

  /** What says now how strong it is: of record, else the latest provisional. */
  foundOf(composition: string): Found | undefined {
    const found = this.standing(composition);
    return found.filter(({ standing }) => standing === 'of-record').at(-1) ?? found.at(-1);
  }
  /** What says how strong it is, oldest first. */
  standing(composition: string): readonly Found[] {
    return (this.#compositions.get(composition) ?? missing(composition)).found.filter(({ by }) => !this.isReversed(by));
  }
  /** Packaged lots of it that the books began with. */
  openedWith(composition: string): string[] {
    return this.packagedLots.filter((each) => {
      const facts = this.packaged(each);
      return facts.composition === composition && this.named(facts.by)?.opens === true;
    });
  }
  get compositions(): string[] {
    return [...this.#compositions.keys()];
  }
  isFinished(composition: string): boolean {
    return this.foundOf(composition)?.standing === 'of-record';
  }
  /** The extract by which a liquid weighs. */
  extractOf(composition: string): number {
    return this.foundOf(composition)?.extract ?? 0;
  }

  compositionsOf(lot: string): string[] {
    return [...this.#compositions].filter(([, each]) => each.lot === lot).map(([id]) => id);
  }

  vesselsOf(composition: string): string[] {
    return [...this.stock()]
      .filter(([account, { litres }]) => account.startsWith(`liquid/${composition}/`) && litres.greaterThan(0))
      .map(([account]) => account.split('/')[2]);
  }

  /** What of a lot is in a vessel. */
  liquidIn(lot: string, vessel: string): { composition: string; account: string; balance: Amount } {
    const composition = this.allIn(vessel).find((each) => this.lotOf(each) === lot);
    if (composition === undefined) throw new Refused('insufficient-stock');
    const account = liquid(composition, vessel);
    return { composition, account, balance: this.balance(account) };
  }
}

function missing(name: string): never {
  throw new Error(`the model has nothing under the name ${name}`);
}
