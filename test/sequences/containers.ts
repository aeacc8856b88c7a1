import type { Model } from './model.js';
import type { Empties } from './step.js';
import type { Decimal, Duty, Site } from './words.js';
import { d, Refused } from './words.js';

// Where a container with a serial can have been, by what stands of its events in the order of time.

export type ContainerEvent =
  'filled' | 'out' | 'back' | 'emptied' | 'came-empty' | 'part-drawn' | 'sent' | 'arrived' | 'missing' | 'found';

const IN_STOCK: readonly ContainerEvent[] = ['filled', 'back', 'part-drawn', 'arrived', 'found'];

/** What an operation did with a container. */
export interface Handled {
  readonly serial: string;
  readonly event: ContainerEvent;
  /** What it was filled with, and how much of that; not of one that came empty. */
  readonly packaged?: string;
  readonly litres?: Decimal;
  readonly duty?: Duty;
}

export interface Happened extends Handled {
  readonly by: string;
  readonly at: number;
  readonly site: Site;
}

const GOES_WITH_CONTAINER: readonly string[] = ['release', 'dispatch-suspended', 'export', 'theft', 'transit-loss'];

/** What a way out does to the container: it goes too, or stays here empty. */
export const eventOf = (way: string): ContainerEvent => (GOES_WITH_CONTAINER.includes(way) ? 'out' : 'emptied');

export const handled = (
  serials: readonly string[] | undefined,
  event: ContainerEvent,
  packaged?: string,
  litres?: Decimal,
  duty: Duty = 'suspended',
): Handled[] =>
  (serials ?? []).map((serial) => ({
    serial,
    event,
    packaged,
    duty,
    litres: litres?.dividedBy(serials?.length ?? 1),
  }));

function fits(now: Happened, before: Happened | undefined): boolean {
  const isSame = before?.packaged === now.packaged;
  const isHere =
    before !== undefined &&
    isSame &&
    IN_STOCK.includes(before.event) &&
    before.site === now.site &&
    before.duty === now.duty;
  const was = (...events: readonly ContainerEvent[]): boolean => before !== undefined && events.includes(before.event);
  switch (now.event) {
    case 'filled':
      return before === undefined || before.event === 'emptied' || before.event === 'came-empty';
    case 'came-empty':
      return before === undefined || was('out', 'missing');
    case 'back':
    case 'found':
      return was('out', 'missing') && isSame;
    case 'arrived':
      return was('sent') && isSame;
    case 'missing':
      return isHere || (was('sent', 'out', 'emptied') && isSame);
    case 'out':
    case 'emptied':
    case 'part-drawn':
    case 'sent':
      return isHere;
  }
}

const holdsLess = (now: Happened, before: Happened | undefined): boolean =>
  !['filled', 'came-empty'].includes(now.event) && d(now.litres ?? 0).greaterThan(before?.litres ?? 0);

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

/** A stock-take that missed a container which was not in stock says nothing of it. */
export const says = (now: Happened, before: Happened | undefined): boolean =>
  now.event !== 'missing' || (before?.event !== 'out' && before?.event !== 'emptied');

/** The containers of a packaged lot at a moment by their serials: the last that says where each is. */
export function containersAt(model: Model, packaged: string, at: number): Map<string, Happened> {
  const last = new Map<string, Happened>();
  const before = new Map<string, Happened>();
  for (const each of model.happened()) {
    if (each.at > at) continue;
    if (says(each, before.get(each.serial))) last.set(each.serial, each);
    before.set(each.serial, each);
  }
  return new Map([...last].filter(([, each]) => each.packaged === packaged));
}

export const isInStock = ({ event }: Happened): boolean => IN_STOCK.includes(event);

/** True of a lot that was filled with serials. */
export const isFollowed = (model: Model, packaged: string): boolean =>
  (model.named(model.packaged(packaged).by)?.containers ?? []).some(({ event }) => event === 'filled');

/** Goods that are followed by serial go by serial. */
export function requireSerials(
  model: Model,
  packaged: string,
  serials: readonly string[] | undefined,
  count: number,
): void {
  if (count > 0 && serials === undefined && isFollowed(model, packaged)) throw new Refused('validation-failed');
}

/** What a draw does to containers: one that stays keeps what was not drawn, one that goes takes all that is in it. */
export function drawnFromContainers(
  model: Model,
  step: {
    readonly packaged: string;
    readonly serials?: readonly string[];
    readonly litres?: string;
    readonly at: number;
  },
  event: ContainerEvent,
  litres: Decimal,
  duty: Duty,
): Handled[] {
  const whole = handled(step.serials, event, step.packaged, litres, duty);
  if (step.litres === undefined || step.serials === undefined) return whole;
  const held = containersAt(model, step.packaged, step.at).get(step.serials[0]);
  const inIt = held !== undefined && isInStock(held) ? d(held.litres ?? 0) : d(0);
  if (!inIt.greaterThan(litres) || event === 'back') return whole;
  if (event === 'out') throw new Refused('conflict');
  return handled(step.serials, 'part-drawn', step.packaged, inIt.minus(litres), duty);
}

/** What of a packaged lot stands at a place by the list. */
export const standingAt = (
  model: Model,
  packaged: string,
  { site, duty, at }: { readonly site: Site; readonly duty: Duty; readonly at: number },
): Happened[] =>
  [...containersAt(model, packaged, at).values()].filter(
    (each) => isInStock(each) && each.site === site && each.duty === duty,
  );

/** Nothing of it is in the books' litres: what was in them has left before. */
export function emptiesBack(model: Model, { site, serials, at }: Empties, name: string): void {
  model.post([{ name, site, at, timing: 'draw', lines: [], containers: handled(serials, 'came-empty') }]);
}
