import type { Calendar } from './client/calendar.js';
import type { Entry } from './client/world.js';

/** An entry as one line of the logbook. */
export const lineOf = (calendar: Calendar, { at, title }: Entry, said: string): string =>
  `${calendar.words(at)}  ${title}${said === '' ? '' : `: ${said}`}`;

/** Entries of the same week, for a terminal that shows one group at a time. */
export function weeksOf(calendar: Calendar, entries: readonly Entry[]): { title: string; entries: Entry[] }[] {
  const weeks: { title: string; entries: Entry[] }[] = [];
  for (const entry of entries) {
    const [day] = calendar.words(entry.at).split(' ');
    const week = Math.ceil(Number(day.slice(8)) / 7);
    const title = `${day.slice(0, 7)}, week ${week}`;
    if (weeks.at(-1)?.title !== title) {
      weeks.push({ title, entries: [] });
    }
    weeks.at(-1)?.entries.push(entry);
  }
  return weeks;
}
