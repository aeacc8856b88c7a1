import { requireEnough } from './cellar.js';
import { drawnFromContainers, eventOf, handled, requireSerials } from './containers.js';
import type { Model } from './model.js';
import type { Correct, CountBulk, MoveBulk, MovePacked, Opening, Return } from './step.js';
import type { Decimal, Line, Posted, Site } from './words.js';
import {
  amount,
  counter,
  d,
  drawn,
  gone,
  liquid,
  minus,
  negated,
  NOW,
  packed,
  Refused,
  SERVING,
  siteOfVessel,
  six,
  ZERO,
} from './words.js';

// Goods out of stock and back into it, the stock that the books begin with, and what puts right.

/** What duty was paid on is not under suspension any more. */
const requireSuspended = ({ way, duty }: MovePacked): void => {
  if (way === 'dispatch-suspended' && duty === 'paid') throw new Refused('conflict');
};

const CAN_COME_BACK: readonly string[] = ['release', 'dispatch-suspended', 'export'];

export function moveBulk(model: Model, step: MoveBulk, name: string): void {
  const litres = d(step.litres);
  if (step.explains !== undefined) {
    const isOwn = (account: string): boolean => {
      const [kind, composition, vessel] = account.split('/');
      return kind === 'liquid' && vessel === step.vessel && model.lotOf(composition) === step.lot;
    };
    return explain(
      model,
      { name, at: step.at, site: siteOfVessel(step.vessel), explains: step.explains },
      litres,
      isOwn,
    );
  }
  const composition = model.heldIn(step.vessel, step.at, (each) => model.lotOf(each) === step.lot);
  if (composition === undefined) throw new Refused('insufficient-stock');
  if (model.lotOf(composition) !== step.lot) throw new Refused('conflict');
  const account = liquid(composition, step.vessel);
  const balance = model.balance(account);
  requireEnough(balance, litres);
  if (step.way === 'own-use' && step.vessel !== SERVING) throw new Refused('not-packed');
  const lines = [{ account, amount: negated(drawn(balance, litres)) }];
  model.post([{ name, site: siteOfVessel(step.vessel), at: step.at, timing: 'draw', lines }]);
}

const litresOf = (model: Model, { litres, packaged, count }: MovePacked | Return): Decimal =>
  litres === undefined ? model.nominal(packaged, count) : d(litres);

/** What of a lot is in a vessel by a stock-take: at the strength that it had. */
export function countBulk(model: Model, step: CountBulk, name: string): void {
  const account = model
    .compositionsOf(step.lot)
    .map((each) => liquid(each, step.vessel))
    .find((each) => model.balanceAt(each, step.at).litres.greaterThan(0));
  if (account === undefined) throw new Refused('conflict');
  const balance = model.balanceAt(account, step.at);
  model.requireNotCounted(account, step.at);
  const litres = d(step.litres);
  const found = litres.isZero() ? ZERO : drawn(balance, litres);
  const lines = [{ account, amount: minus(found, balance) }];
  model.post([{ name, site: siteOfVessel(step.vessel), at: step.at, timing: 'assertion', asserts: 'count', lines }]);
}

export function movePacked(model: Model, step: MovePacked, name: string): void {
  const account = packed(step.packaged, step.site, step.duty);
  const litres = litresOf(model, step);
  const into = CAN_COME_BACK.includes(step.way) ? gone(step.packaged) : undefined;
  if (step.explains !== undefined) {
    const facts = { name, at: step.at, site: step.site, explains: step.explains };
    return explain(
      model,
      facts,
      litres,
      (each) => each === account,
      into,
      () => {
        requireSuspended(step);
        requireSerials(model, step.packaged, step.serials, step.count);
      },
    );
  }
  const balance = model.balance(account);
  requireEnough(balance, litres);
  requireSuspended(step);
  requireSerials(model, step.packaged, step.serials, step.count);
  const out = drawn(balance, litres);
  const lines = [{ account, amount: negated(out) }, ...(into === undefined ? [] : [{ account: into, amount: out }])];
  const containers = drawnFromContainers(model, step, eventOf(step.way), litres, step.duty);
  model.post([{ name, site: step.site, at: step.at, timing: 'draw', lines, containers }]);
}

export function takeBack(model: Model, step: Return, name: string): void {
  const out = model.balanceAt(gone(step.packaged), step.at);
  const litres = litresOf(model, step);
  requireEnough(out, litres);
  requireSerials(model, step.packaged, step.serials, step.count);
  const back = drawn(out, litres);
  const lines = [
    { account: packed(step.packaged, step.site, step.duty), amount: back },
    { account: gone(step.packaged), amount: negated(back) },
  ];
  const containers = handled(step.serials, 'back', step.packaged, litres, step.duty);
  model.post([{ name, site: step.site, at: step.at, timing: 'draw', lines, containers }]);
}

/** A draw before a later gauge or count, and at that one what puts the same back: what was asserted still stands. */
export function explain(
  model: Model,
  { name, at, site, explains }: { name: string; at: number; site: Site; explains: string },
  litres: Decimal,
  isOwn: (account: string) => boolean,
  into?: string,
  permit: () => void = () => undefined,
): void {
  const assertion = model.named(explains);
  if (assertion?.asserts === undefined || model.isReversed(explains) || assertion.at <= at) {
    throw new Refused('conflict');
  }
  const account = assertion.lines.map((line) => line.account).find(isOwn);
  if (account === undefined) throw new Refused('conflict');
  const balance = model.balanceAt(account, at);
  requireEnough(balance, litres);
  permit();
  const out = drawn(balance, litres);
  const received = into === undefined ? [] : [{ account: into, amount: out }];
  const facts = { site, timing: 'draw' as const, explains };
  model.post([
    { ...facts, name, at, lines: [{ account, amount: negated(out) }, ...received] },
    { ...facts, name: counter(name), at: assertion.at, lines: [{ account, amount: out }] },
  ]);
}

export function open(model: Model, step: Opening, name: string): void {
  if (step.liquid !== undefined && model.inVessel(step.liquid.vessel) !== undefined) throw new Refused('vessel-in-use');
  if (model.isOpened) throw new Refused('conflict');
  const stated = (litres: Decimal, strength: string, addedShare: string): Line['amount'] => {
    const total = six(litres.times(strength).dividedBy(100));
    const added = six(total.times(addedShare).dividedBy(100));
    return amount(litres, total.minus(added), added);
  };
  const bottles = step.packaged;
  const lines = [
    { account: packed(name), amount: stated(d(bottles.nominal).times(bottles.count), bottles.strength, '0') },
  ];
  if (step.liquid !== undefined) {
    const { vessel, litres, strength = '0', addedShare } = step.liquid;
    lines.push({ account: liquid(name, vessel), amount: stated(d(litres), strength, addedShare) });
  }
  model.post([{ name, site: 'here', at: step.at, timing: 'change', opens: true, lines }]);
  const found = { by: name, standing: 'of-record' as const, extract: 0 };
  if (step.liquid !== undefined) {
    const percent = Number(step.liquid.strength);
    model.opens(name, step.liquid.lot, ...(step.liquid.strength === undefined ? [] : [{ ...found, percent }]));
  }
  model.opens(`${name}p`, bottles.lot, { ...found, percent: Number(bottles.strength) });
  model.fills(name, { composition: `${name}p`, nominal: bottles.nominal, by: name });
}

/** An operation and its counter-entry with their signs turned: at their own time, or now where that is closed. */
function turned(model: Model, operation: string, name: string): Posted[] {
  const original = model.named(operation);
  if (original === undefined) throw new Error(`no operation ${operation}`);
  if (model.posted.some(({ reverses }) => reverses === operation)) throw new Refused('conflict');
  // A composition has the name of the operation that made it.
  const isMadeFor = (each: Posted): boolean => each.madeFor === operation && each.reverses === undefined;
  if (model.posted.some((each) => isMadeFor(each) && !model.isReversed(each.name))) throw new Refused('conflict');
  return model.posted
    .filter((each) => each === original || each.name === counter(original.name))
    .map((each) => ({
      name: each === original ? name : counter(name),
      site: each.site,
      at: model.isClosed(each.site, each.at) ? NOW : each.at,
      timing: each.timing,
      explains: each.explains,
      lines: each.lines.map((line) => ({ account: line.account, amount: negated(line.amount) })),
      reverses: each.name,
    }));
}

export function reverse(model: Model, operation: string, name: string): void {
  model.post(turned(model, operation, name));
}

/** The reversal and what happened instead in one transaction, looked at together. */
export function correct(model: Model, step: Correct, name: string): void {
  const reversal = turned(model, step.operation, `${name}r`);
  model.enter(reversal);
  try {
    model.together(reversal, () => model.event(step.by, name));
  } catch (error) {
    model.forget(reversal.length);
    throw error;
  }
}
