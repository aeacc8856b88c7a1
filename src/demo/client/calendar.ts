import { Temporal } from 'temporal-polyfill';

/** The premises' own time: the two full months before the month of `now`, and that month itself. */
export class Calendar {
  readonly #first: Temporal.PlainYearMonth;

  constructor(
    now: Date,
    readonly timeZone: string,
  ) {
    const today = Temporal.Instant.fromEpochMilliseconds(now.getTime()).toZonedDateTimeISO(timeZone);
    this.#first = today.toPlainDate().toPlainYearMonth().subtract({ months: 2 });
  }

  /** As it was kept by `start`. */
  static from(start: string, timeZone: string): Calendar {
    const day = Temporal.PlainDate.from(start).add({ months: 2 }).toZonedDateTime({ timeZone });
    return new Calendar(new Date(day.epochMilliseconds), timeZone);
  }

  /** First day of the first month. */
  get start(): string {
    return this.monthStart(0);
  }

  /** First day of month 0, 1, 2 or 3. */
  monthStart(month: number): string {
    return this.#first.add({ months: month }).toPlainDate({ day: 1 }).toString();
  }

  lastDay(month: number): number {
    return this.#first.add({ months: month }).daysInMonth;
  }

  /** A local day and time of a month, as an instant. */
  at(month: number, day: number, time: string): string {
    const local = this.#first
      .add({ months: month })
      .toPlainDate({ day })
      .toPlainDateTime(Temporal.PlainTime.from(time));
    return local.toZonedDateTime(this.timeZone).toInstant().toString();
  }

  /** A local day, some days from the start. */
  dayFromStart(days: number): string {
    return Temporal.PlainDate.from(this.start).add({ days }).toString();
  }

  /** As a person would write it. */
  words(instant: string): string {
    const local = Temporal.Instant.from(instant).toZonedDateTimeISO(this.timeZone);
    return `${local.toPlainDate().toString()} ${local.toPlainTime().toString({ smallestUnit: 'minute' })}`;
  }
}
