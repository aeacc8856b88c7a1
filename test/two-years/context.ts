import { Temporal } from 'temporal-polyfill';
import type { Api } from '../../src/demo/client/api.js';
import type { Calendar } from '../../src/demo/client/calendar.js';
import { Checks } from '../../src/demo/client/checks.js';
import type { Micro } from '../../src/demo/client/micro.js';
import type { Agenda, Part } from './agenda.js';
import type { Dice } from './dice.js';
import type { InPeriod, Places } from './landmarks.js';
import { Tally } from './tally.js';

export type PremisesName = 'main' | 'second';
export type MaterialName = 'sugar' | 'malt' | 'spirit' | 'flavouring' | 'yeast' | 'fining' | 'acid';

export interface Vessel {
  readonly id: string;
  readonly name: string;
  readonly kind: 'fermenter' | 'bright-tank' | 'mixing-tank' | 'serving-tank';
  readonly premises: PremisesName;
}

/** A material lot in use; what is left matters only of what bears alcohol, in whole litres. */
export interface Supply {
  readonly id: string;
  left: number;
}

/** Liquid in a vessel as the script last knew it. */
export interface Batch {
  readonly lotId: string;
  readonly code: string;
  readonly category: string;
  vessel: Vessel;
  compositionId: string;
  litres: number;
  strength: number;
  /** The operation that charged it, and the finding of record. */
  chargeId: string;
  gaugeId: string;
  findingId: string;
}

/** A packaged lot at the premises where it stands. */
export interface Goods {
  readonly packagedLotId: string;
  readonly lotId: string;
  readonly compositionId: string;
  readonly container: 'bottle' | 'keg';
  readonly nominal: Micro;
  readonly declared: number;
  readonly premises: PremisesName;
  onHand: number;
  /** Released or otherwise gone, and not come back. */
  out: number;
  lastRelease?: { readonly id: string; readonly at: string; readonly count: number };
}

/** A difference of a stock-take for which no reason was given at once. */
export interface Unexplained {
  readonly goods: Goods;
  readonly countId: string;
  readonly missing: number;
  readonly premises: PremisesName;
  readonly month: number;
}

export interface Site {
  readonly premises: Readonly<Record<PremisesName, string>>;
  readonly people: readonly string[];
  readonly instruments: Readonly<Record<'first' | 'second', string>>;
  readonly materials: Readonly<Record<MaterialName, string>>;
  readonly recipes: Readonly<Record<'house' | 'strong' | 'ale' | 'mixed' | 'flavoured' | 'blend', string>>;
  readonly periods: Readonly<Record<PremisesName, readonly string[]>>;
  readonly dutyRuleSetId: string;
  readonly vessels: readonly Vessel[];
}

/** Litres as the service keeps them, after sums of binary numbers. */
export const toMicrolitre = (litres: number): number => Math.round(litres * 1e6) / 1e6;

/** The month in which nothing happens at the second premises, counted from zero. */
export const NIL_MONTH = 6;

export type ContextParts = Pick<Context, 'api' | 'calendar' | 'agenda' | 'dice' | 'months'>;

/** What all stories share. */
export class Context {
  readonly api: Api;
  readonly calendar: Calendar;
  readonly agenda: Agenda;
  readonly dice: Dice;
  readonly months: number;
  readonly tally = new Tally();
  readonly checks = new Checks();
  readonly goods: Goods[] = [];
  readonly batches = new Set<Batch>();
  readonly places: Partial<Places> = {};
  /** Lots of this producer's own ferments whose strength is of record. */
  readonly fermented = new Map<string, Batch>();
  readonly unexplained: Unexplained[] = [];
  suspectMaterialLotId: string | undefined;
  readonly #supplies = new Map<string, Supply[]>();
  #free: Vessel[] = [];
  #site: Site | undefined;
  #evidence = 0;

  constructor({ api, calendar, agenda, dice, months }: ContextParts) {
    this.api = api;
    this.calendar = calendar;
    this.agenda = agenda;
    this.dice = dice;
    this.months = months;
  }

  get site(): Site {
    if (this.#site === undefined) throw new Error('The premises come first.');
    return this.#site;
  }

  set site(site: Site) {
    this.#site = site;
    this.#free = [...site.vessels];
  }

  /** Which month an instant lies in, counted from zero. */
  monthOf(at: string): number {
    const [day] = this.calendar.words(at).split(' ');
    return Temporal.PlainDate.from(this.calendar.start).until(day, { largestUnit: 'months' }).months;
  }

  inPeriod(premises: PremisesName, at: string): InPeriod {
    const month = this.monthOf(at);
    return { premisesId: this.site.premises[premises], periodId: this.site.periods[premises][month], month };
  }

  /** The first of its kind stands in the landmarks. */
  mark<K extends keyof Places>(name: K, place: Places[K]): void {
    this.places[name] ??= place;
  }

  /** One more operation at some premises. */
  did(premises: PremisesName, at: string): void {
    this.tally.operation(this.site.premises[premises], this.monthOf(at));
  }

  person(): string {
    return this.dice.pick(this.site.people);
  }

  /** A number for a paper, unlike any other. */
  paper(kind: string): string {
    this.#evidence += 1;
    return `${kind}-${String(this.#evidence).padStart(4, '0')} (invented)`;
  }

  /** Came in; what was there before is used up first. */
  stocked(premises: PremisesName, material: MaterialName, supply: Supply): void {
    const key = `${premises} ${material}`;
    this.#supplies.set(key, [...(this.#supplies.get(key) ?? []), supply]);
  }

  /** The first lot of a material that still has so many litres, or the newest of what is weighed. */
  supply(premises: PremisesName, material: MaterialName, least = 0): Supply {
    const lots = this.#supplies.get(`${premises} ${material}`) ?? [];
    const supply = least > 0 ? lots.find(({ left }) => left >= least) : lots.at(-1);
    if (supply === undefined) throw new Error(`Too little ${material} came to the ${premises} premises.`);
    return supply;
  }

  /** An empty vessel of a kind, waited for from day to day. */
  async *vessel(premises: PremisesName, kind: Vessel['kind'], from: string): Part<{ vessel: Vessel; at: string }> {
    let at = from;
    for (;;) {
      const index = this.#free.findIndex((vessel) => vessel.premises === premises && vessel.kind === kind);
      if (index !== -1) {
        const [vessel] = this.#free.splice(index, 1);
        return { vessel, at };
      }
      at = yield [1, '08:15'];
    }
  }

  /** The vessel of a batch that is no more. */
  emptied(batch: Batch): void {
    this.batches.delete(batch);
    this.#free.push(batch.vessel);
  }

  released(vessel: Vessel): void {
    this.#free.push(vessel);
  }

  /** Nothing is done at the second premises in the month that is to stay empty. */
  async *openDay(premises: PremisesName, from: string): Part<string> {
    let at = from;
    while (premises === 'second' && this.monthOf(at) === NIL_MONTH) {
      at = yield [7, '09:00'];
    }
    return at;
  }
}
