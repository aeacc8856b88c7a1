import { requireEnough } from './cellar.js';
import type { Model } from './model.js';
import type { Beside, Read, SampleDay, Step, Strike } from './step.js';
import { d, drawn, liquid, negated, Refused, sampleName } from './words.js';
import type { Posted } from './words.js';

// Readings, and what those of a day took out of the vessels.

/** What a reading takes out, in litres, by the settings of the producer. */
export const SAMPLE_LITRES = '0.15';
const HOURS_A_DAY = 24;

/** Readings are no operations: they are kept beside the books. */
export class Readings {
  readonly #read = new Map<string, Read>();
  readonly #struck = new Set<string>();

  copyTo(copy: Readings): void {
    for (const [name, each] of this.#read) copy.#read.set(name, each);
    for (const name of this.#struck) copy.#struck.add(name);
  }

  read(step: Read, name: string): void {
    this.#read.set(name, step);
  }

  strike({ reading }: Strike): void {
    if (this.#struck.has(reading)) throw new Refused('conflict');
    this.#struck.add(reading);
  }

  get all(): readonly (Read & { readonly name: string })[] {
    return [...this.#read].map(([name, each]) => ({ ...each, name }));
  }

  /** Those that took something out and were not struck. */
  ofDay(day: number): readonly Read[] {
    return this.all.filter(({ name, what, at }) => what === 'ph' && dayOf(at) === day && !this.#struck.has(name));
  }
}

export const dayOf = (at: number): number => Math.floor(at / HOURS_A_DAY);

interface Taken {
  readonly vessel: string;
  readonly composition: string;
  readonly readings: number;
  readonly lastAt: number;
}

/** By vessel and what it held when each was read; a reading of what was not there then took nothing out of the books. */
function takenOn(model: Model, day: number): Taken[] {
  const taken = new Map<string, Taken>();
  for (const { lot, vessel, at } of model.readings.ofDay(day)) {
    const composition = model
      .compositionsOf(lot)
      .find((each) => model.balanceAt(liquid(each, vessel), at).litres.greaterThan(0));
    if (composition === undefined) continue;
    const account = liquid(composition, vessel);
    const { readings, lastAt } = taken.get(account) ?? { readings: 0, lastAt: at };
    taken.set(account, { vessel, composition, readings: readings + 1, lastAt: Math.max(lastAt, at) });
  }
  return [...taken.values()];
}

const isSummed = (model: Model, day: number): boolean =>
  model.posted.some((each) => each.samplesOf === day && !model.isReversed(each.name));

/** Days that have readings of what was there, and are not summed. */
export const daysToSum = (model: Model): number[] =>
  [...new Set(model.readings.all.map(({ at }) => dayOf(at)))].filter(
    (day) => !isSummed(model, day) && takenOn(model, day).length > 0,
  );

function sampleDay(model: Model, { day }: SampleDay, name: string): void {
  if (isSummed(model, day)) throw new Refused('conflict');
  const taken = takenOn(model, day);
  if (taken.length === 0) throw new Refused('conflict');
  const posted = taken.map(({ vessel, composition, readings, lastAt }): Posted => {
    const account = liquid(composition, vessel);
    const balance = model.balance(account);
    const litres = d(SAMPLE_LITRES).times(readings);
    requireEnough(balance, litres);
    const lines = [{ account, amount: negated(drawn(balance, litres)) }];
    const facts = { site: 'here' as const, timing: 'draw' as const, samplesOf: day };
    return { ...facts, name: sampleName(name, vessel, composition), at: lastAt, lines };
  });
  model.post(posted);
}

const KINDS: readonly string[] = ['read', 'strike', 'sample-day'];
export const isBeside = (step: Step): step is Beside => KINDS.includes(step.kind);

/** What is entered beside the events of the books, or made of what was. */
export function beside(model: Model, step: Beside, name: string): void {
  if (step.kind === 'read') return model.readings.read(step, name);
  if (step.kind === 'strike') return model.readings.strike(step);
  sampleDay(model, step, name);
}
