import { Temporal } from 'temporal-polyfill';
import type { Calendar } from '../../src/demo/client/calendar.js';

/** So many days later, at a local time of day. */
export type Wait = readonly [days: number, time: string];

/** What happens to one lot or in one office: it says how long it waits, and is told when it goes on. */
export type Story = AsyncGenerator<Wait, void, string>;

/** A part of a story, with a result. */
export type Part<T> = AsyncGenerator<Wait, T, string>;

interface Due {
  readonly at: string;
  readonly order: number;
  readonly story: Story;
}

/** Goes on with the story whose moment is the earliest, so that everything is entered in the order in which it happened. */
export class Agenda {
  readonly #due: Due[] = [];
  #order = 0;

  constructor(
    private readonly calendar: Calendar,
    private readonly arrive: (instant: string) => void,
  ) {}

  /** A story that begins at an instant. */
  add(at: string, story: Story): void {
    this.#put(at, story);
  }

  /** Until the next moment would not be before `end`; what goes on then is left where it is. */
  async run(end: string): Promise<void> {
    const last = Date.parse(end);
    for (let due = this.#due.at(0); due !== undefined && Date.parse(due.at) < last; due = this.#due.at(0)) {
      this.#due.shift();
      this.arrive(due.at);
      const step = await due.story.next(due.at);
      if (step.done !== true) {
        this.#put(this.#later(due.at, step.value), due.story);
      }
    }
  }

  #put(at: string, story: Story): void {
    const due = { at, order: (this.#order += 1), story };
    const next = this.#due.findIndex((other) => Date.parse(other.at) > Date.parse(at));
    this.#due.splice(next === -1 ? this.#due.length : next, 0, due);
  }

  #later(at: string, [days, time]: Wait): string {
    const local = Temporal.Instant.from(at).toZonedDateTimeISO(this.calendar.timeZone);
    const day = local.toPlainDate().add({ days });
    const next = day.toPlainDateTime(Temporal.PlainTime.from(time)).toZonedDateTime(this.calendar.timeZone);
    const instant = next.toInstant();
    if (Temporal.Instant.compare(instant, Temporal.Instant.from(at)) < 0) {
      throw new RangeError(`A story that stands at ${at} cannot go on at ${instant.toString()}.`);
    }
    return instant.toString();
  }
}
