import type { Model } from './model.js';
import type { Empties } from './step.js';
import type { Decimal } from './words.js';
import { d } from './words.js';

// Where a container with a serial can have been, by what stands of its events in the order of time.

export type ContainerEvent = 'filled' | 'out' | 'back' | 'emptied' | 'came-empty';

/** What an operation did with a container. */
export interface Handled {
  readonly serial: string;
  readonly event: ContainerEvent;
  /** What it was filled with, and how much of that; not of one that came empty. */
  readonly packaged?: string;
  readonly litres?: Decimal;
}

export interface Happened extends Handled {
  readonly by: string;
  readonly at: number;
}

const GOES_WITH_CONTAINER: readonly string[] = ['release', 'dispatch-suspended', 'export', 'theft', 'transit-loss'];

/** What a way out does to the container: it goes too, or stays here empty. */
export const eventOf = (way: string): ContainerEvent => (GOES_WITH_CONTAINER.includes(way) ? 'out' : 'emptied');

export const handled = (
  serials: readonly string[] | undefined,
  event: ContainerEvent,
  packaged?: string,
  litres?: Decimal,
): Handled[] =>
  (serials ?? []).map((serial) => ({ serial, event, packaged, litres: litres?.dividedBy(serials?.length ?? 1) }));

function fits(now: Happened, before: Happened | undefined): boolean {
  const isSame = before?.packaged === now.packaged;
  switch (now.event) {
    case 'filled':
      return before === undefined || before.event === 'emptied' || before.event === 'came-empty';
    case 'came-empty':
      return before === undefined || before.event === 'out';
    case 'back':
      return before?.event === 'out' && isSame;
    case 'out':
    case 'emptied':
      return (before?.event === 'filled' || before?.event === 'back') && isSame;
  }
}

const holdsLess = (now: Happened, before: Happened | undefined): boolean =>
  ['out', 'back', 'emptied'].includes(now.event) && d(now.litres ?? 0).greaterThan(before?.litres ?? 0);

/** Of each container what happened to it, in the order of time: the earliest that cannot be, of the serials looked at. */
export function wrongWith(all: readonly Happened[], serials: ReadonlySet<string>): string | undefined {
  const wrong: { at: number; serial: string; code: string }[] = [];
  for (const serial of serials) {
    const own = all.filter((each) => each.serial === serial);
    own.forEach((each, index) => {
      const last = index === 0 ? undefined : own[index - 1];
      if (!fits(each, last)) wrong.push({ at: each.at, serial, code: 'container-elsewhere' });
      else if (holdsLess(each, last)) wrong.push({ at: each.at, serial, code: 'container-holds-less' });
    });
  }
  wrong.sort((a, b) => a.at - b.at || (a.serial < b.serial ? -1 : 1));
  return wrong.at(0)?.code;
}

/** Nothing of it is in the books' litres: what was in them has left before. */
export function emptiesBack(model: Model, { site, serials, at }: Empties, name: string): void {
  model.post([{ name, site, at, timing: 'draw', lines: [], containers: handled(serials, 'came-empty') }]);
}
