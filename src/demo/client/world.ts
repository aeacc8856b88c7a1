import { Api } from './api.js';
import type { Calendar } from './calendar.js';
import { Checks } from './checks.js';
import { Notebook } from './notebook.js';
import type { Transport } from './transport.js';

export interface WorldParts {
  readonly transport: Transport;
  readonly key: string;
  /** Of the Idempotency-Keys: the same run goes on where it broke off. */
  readonly runId: string;
  readonly calendar: Calendar;
}

/** Premises, vessels, instruments and materials of the demo, by the ids that the service gave out. */
export interface Site {
  readonly premisesId: string;
  readonly personId: string;
  readonly hydrometerId: string;
  readonly periodIds: readonly string[];
  readonly vessels: Readonly<Record<'FV 1' | 'FV 2' | 'BT 1' | 'MT 1', string>>;
  readonly materialLots: Readonly<Record<'dextrose' | 'sucrose' | 'spirit', string>>;
  readonly recipes: Readonly<Record<'house' | 'strong' | 'mixed', string>>;
}

/** A line of the logbook: what happens at a moment. What it returns is said beside its title. */
export interface Entry {
  readonly at: string;
  readonly title: string;
  run(): Promise<string>;
}

/** Everything that the entries of the logbook share. */
export class World {
  readonly api: Api;
  readonly calendar: Calendar;
  readonly books = new Notebook();
  readonly checks = new Checks();
  #site: Site | undefined;

  constructor({ transport, key, runId, calendar }: WorldParts) {
    this.api = new Api(transport, key, runId);
    this.calendar = calendar;
  }

  get site(): Site {
    if (this.#site === undefined) {
      throw new Error('The premises come first.');
    }
    return this.#site;
  }

  set site(site: Site) {
    this.#site = site;
  }

  /** An entry at a local day and time of month 0 (the first), 1 or 2. */
  entry(month: number, day: number, time: string, title: string, run: (at: string) => Promise<string>): Entry {
    const at = this.calendar.at(month, day, time);
    return { at, title, run: () => run(at) };
  }
}
