import { alcoholFromSugar } from '../../src/alcoholometry/carbonation/conditioning-sugar.js';
import { mixed, requireEnough } from './cellar.js';
import type { Handled } from './containers.js';
import { containersAt, drawnFromContainers, handled, isFollowed, requireSerials, standingAt } from './containers.js';
import type { Model } from './model.js';
import { ownerOfAccount, ownerOfLot, requireSameOwner } from './owners.js';
import type { Arrive, Count, Pack, Relabel, Repack, Rework, Send } from './step.js';
import type { Amount, Line } from './words.js';
import {
  amount,
  atStrengthOf,
  d,
  drawn,
  liquid,
  minus,
  negated,
  onTheWay,
  packed,
  plus,
  Refused,
  six,
  ZERO,
} from './words.js';

// Filling, and what becomes of what was filled.

/** Up to this share of what is drawn for a run, a loss is usual. A run that empties the vessel always has a reason in the sequences. */
const USUAL_LOSS = '0.03';

/** Beyond this share of the books a reason for having packed more does not do. */
const MOST_WITH_REASON = '0.05';

export function pack(model: Model, step: Pack, name: string): void {
  const { composition, account, balance } = model.liquidIn(step.lot, step.vessel);
  if (!model.isFinished(composition)) throw new Refused('finding-needed');
  const filled = d(step.fill ?? step.nominal).times(step.count);
  const needed = filled.plus(step.loss ?? 0);
  // The sequences ask for no gain that could lie within the uncertainty of the gauge.
  const gain = needed.greaterThan(balance.litres) ? needed.minus(balance.litres) : d(0);
  if (gain.greaterThan(balance.litres.times(MOST_WITH_REASON))) throw new Refused('insufficient-stock');
  if (gain.greaterThan(0) && step.reason !== true) throw new Refused('packing-exceeds-gauge');
  const there = plus(balance, gain.isZero() ? ZERO : atStrengthOf(balance, gain));
  const out = drawn(there, step.loss === undefined ? there.litres : needed);
  const lost = out.litres.minus(filled);
  if (lost.greaterThan(out.litres.times(USUAL_LOSS)) && step.reason !== true) throw new Refused('reason-needed');
  // One draw out of the other, so that rounding leaves no line with alcohol and no litres.
  const contents = drawn(out, filled);
  const inside = nominallyFull(contents, d(step.nominal).times(step.count));
  const made =
    step.sugarGramsPerLitre === undefined
      ? 0
      : alcoholFromSugar({
          sugar: 'sucrose',
          gramsPerLitre: step.sugarGramsPerLitre,
          volumeL: inside.litres.toNumber(),
        }).pureAlcoholL;
  const lines = [
    { account, amount: minus(minus(there, balance), out) },
    { account: packed(name), amount: plus(inside, amount(0, six(d(made)))) },
  ];
  const each = d(step.nominal).times(step.count);
  const containers = handled(step.serials, 'filled', name, each);
  model.post([{ name, site: 'here', at: step.at, timing: 'draw', lines, containers }]);
  model.fills(name, { composition, nominal: step.nominal, by: name });
}

/** Containers stand in the books by their label, whatever the mean fill was. */
function nominallyFull(contents: Amount, litres: Amount['litres']): Amount {
  const short = litres.minus(contents.litres);
  return short.greaterThan(0) ? plus(contents, atStrengthOf(contents, short)) : drawn(contents, litres);
}

/** Containers that stand where they were filled. */
function opened(model: Model, packaged: string, count: number, measured?: string): { account: string; out: Amount } {
  const account = packed(packaged);
  const balance = model.balance(account);
  const litres = measured === undefined ? model.nominal(packaged, count) : d(measured);
  requireEnough(balance, litres);
  return { account, out: drawn(balance, litres) };
}

export function repack(model: Model, step: Repack, name: string): void {
  const { account, out } = opened(model, step.packaged, step.count);
  requireSerials(model, step.packaged, undefined, step.count);
  const litres = d(step.nominal).times(step.filled);
  requireEnough(out, litres);
  const lines = [
    { account, amount: negated(out) },
    { account: packed(name), amount: drawn(out, litres) },
  ];
  const { composition } = model.packaged(step.packaged);
  model.post([{ name, site: 'here', at: step.at, timing: 'draw', lines }]);
  model.fills(name, { composition, nominal: step.nominal, by: name });
}

export function relabel(model: Model, step: Relabel, name: string): void {
  const { account, out } = opened(model, step.packaged, step.count);
  requireSerials(model, step.packaged, undefined, step.count);
  const lines = [
    { account, amount: negated(out) },
    { account: packed(name), amount: out },
  ];
  const facts = model.packaged(step.packaged);
  model.post([{ name, site: 'here', at: step.at, timing: 'draw', lines }]);
  model.fills(name, { ...facts, by: name });
}

export function rework(model: Model, step: Rework, name: string): void {
  const { account, out } = opened(model, step.packaged, step.count, step.litres);
  requireSameOwner([ownerOfAccount(model, account), ownerOfLot(step.lot)]);
  if (model.inVessel(step.vessel) !== undefined) throw new Refused('vessel-in-use');
  requireSerials(model, step.packaged, step.serials, step.count);
  const loss = d(step.loss);
  if (!loss.lessThan(out.litres)) throw new Refused('insufficient-stock');
  const into = minus(out, loss.isZero() ? ZERO : drawn(out, loss));
  const of = model.foundOf(model.packaged(step.packaged).composition);
  const { extract } = mixed([{ amount: into, extract: of?.standing === 'of-record' ? of.extract : 0 }]);
  const lines = [
    { account, amount: negated(out) },
    { account: liquid(name, step.vessel), amount: into },
  ];
  const containers = drawnFromContainers(model, step, 'emptied', out.litres, 'suspended');
  model.post([{ name, site: 'here', at: step.at, timing: 'draw', lines, containers }]);
  model.opens(name, step.lot, { by: name, standing: 'of-record', extract });
}

export function count(model: Model, step: Count, name: string): void {
  const account = packed(step.packaged, step.site, step.duty);
  const isKnown = model.posted.some(({ lines }) => lines.some((line) => line.account === account));
  if (!isKnown) throw new Refused('conflict');
  const balance = model.balanceAt(account, step.at);
  requireSerials(model, step.packaged, step.serials, step.count);
  const seen = isFollowed(model, step.packaged) ? seenBy(model, step) : undefined;
  const strengthOf = balance.litres.isZero() ? filledBy(model, step.packaged, step.at) : balance;
  const litres = seen?.litres ?? model.nominal(step.packaged, step.count);
  const found = litres.isZero() ? ZERO : drawn(strengthOf, litres);
  const isCounted = model.posted.some(
    (each) =>
      each.asserts === 'count' &&
      each.at === step.at &&
      each.lines.some((line) => line.account === account) &&
      !model.isReversed(each.name),
  );
  if (isCounted) throw new Refused('conflict');
  const lines = [{ account, amount: minus(found, balance) }];
  const containers = seen?.containers;
  model.post([{ name, site: step.site, at: step.at, timing: 'assertion', asserts: 'count', lines, containers }]);
}

/** Containers that were there hold what the list says; those that were not are missing. */
function seenBy(model: Model, step: Count): { litres: Amount['litres']; containers: Handled[] } {
  const { packaged, serials = [], duty } = step;
  const all = containersAt(model, packaged, step.at);
  const here = standingAt(model, packaged, step).map(({ serial }) => serial);
  const held = (serial: string): Amount['litres'] => {
    const litres = all.get(serial)?.litres;
    if (litres === undefined) throw new Refused('conflict');
    return litres;
  };
  const litres = serials.map(held).reduce((sum, each) => sum.plus(each), d(0));
  const event = (what: 'found' | 'missing', some: readonly string[]): Handled[] =>
    some.flatMap((serial) => handled([serial], what, packaged, held(serial), duty));
  return {
    litres,
    containers: [
      ...event(
        'found',
        serials.filter((serial) => !here.includes(serial)),
      ),
      ...event(
        'missing',
        here.filter((serial) => !serials.includes(serial)),
      ),
    ],
  };
}

/** What the run had put into the containers, which says how strong those are that turn up. */
function filledBy(model: Model, packaged: string, at: number): Amount {
  const run = model.named(model.packaged(packaged).by);
  if (run === undefined || run.at > at || model.isReversed(run.name)) throw new Refused('conflict');
  return run.lines
    .filter(({ account }) => account.startsWith(`packed/${packaged}/`))
    .map((line) => line.amount)
    .reduce(plus, ZERO);
}

export function send(model: Model, step: Send, name: string): void {
  const account = packed(step.packaged, step.from, step.duty);
  const balance = model.balance(account);
  const litres = model.nominal(step.packaged, step.count);
  requireEnough(balance, litres);
  requireSerials(model, step.packaged, step.serials, step.count);
  const out = drawn(balance, litres);
  const lines = [
    { account, amount: negated(out) },
    { account: onTheWay(step.packaged, name, step.from, step.duty), amount: out },
  ];
  const containers = handled(step.serials, 'sent', step.packaged, litres, step.duty);
  model.post([{ name, site: step.from, at: step.at, timing: 'draw', lines, containers }]);
  model.sends(name, { ...step, arrivals: [] });
}

export function arrive(model: Model, step: Arrive, name: string): void {
  const { packaged, from, to, duty, count: sent, serials: all = [], at, arrivals } = model.transit(step.transit);
  if (model.isReversed(step.transit)) throw new Refused('conflict');
  if (arrivals.some((each) => !model.isReversed(each))) throw new Refused('conflict');
  if (step.at < at) throw new Refused('conflict');
  if (step.count > sent) throw new Refused('insufficient-stock');
  requireSerials(model, packaged, step.serials, step.count);
  const account = onTheWay(packaged, step.transit, from, duty);
  const balance = model.balance(account);
  const received = step.count === 0 ? ZERO : drawn(balance, model.nominal(packaged, step.count));
  const lines: Line[] = [
    { account, amount: negated(balance) },
    { account: packed(packaged, to, duty), amount: received },
  ];
  const { serials = [] } = step;
  const lost = all.filter((serial) => !serials.includes(serial));
  const containers = [
    ...handled(step.serials, 'arrived', packaged, model.nominal(packaged, serials.length), duty),
    ...handled(lost, 'missing', packaged, model.nominal(packaged, lost.length), duty),
  ];
  model.post([{ name, site: to, at: step.at, timing: 'draw', lines, containers }]);
  model.arrives(step.transit, name);
}
