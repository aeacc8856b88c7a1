import { requireEnough } from './cellar.js';
import type { Model } from './model.js';
import { ownerOfLot, requireSameOwner } from './owners.js';
import { percentOf } from './restated.js';
import type { ArriveBulk, SendBulk } from './step.js';
import type { Line, Site } from './words.js';
import { categoryOf, d, drawn, inBulk, liquid, negated, Refused, siteOfLot, siteOfVessel, ZERO } from './words.js';

// Liquid in bulk between the premises: the sender's until it arrives, and what does not arrive is lost on the way.

export interface Consignment {
  readonly composition: string;
  readonly from: Site;
  readonly to: Site;
  readonly at: number;
  readonly arrivals: readonly string[];
}

export function sendBulk(model: Model, step: SendBulk, name: string): void {
  const composition = model.inVessel(step.vessel);
  if (composition === undefined) throw new Refused('insufficient-stock');
  if (model.lotOf(composition) !== step.lot) throw new Refused('conflict');
  const account = liquid(composition, step.vessel);
  const balance = model.balance(account);
  requireEnough(balance, d(step.litres));
  // What ferments stays where its process is.
  if (!model.isFinished(composition)) throw new Refused('finding-needed');
  const from = siteOfVessel(step.vessel);
  if (from === step.to) throw new Refused('conflict');
  const out = drawn(balance, d(step.litres));
  const lines = [
    { account, amount: negated(out) },
    { account: inBulk(composition, name, from), amount: out },
  ];
  model.post([{ name, site: from, at: step.at, timing: 'draw', lines }]);
  model.consignments.set(name, { composition, from, to: step.to, at: step.at, arrivals: [] });
}

export function arriveInBulk(model: Model, step: ArriveBulk, name: string): void {
  const sent = model.consignment(step.transit);
  const { composition, from, to } = sent;
  if (model.isReversed(step.transit)) throw new Refused('conflict');
  if (sent.arrivals.some((each) => !model.isReversed(each))) throw new Refused('conflict');
  const found = model.foundOf(composition);
  if (found?.standing !== 'of-record') throw new Refused('finding-needed');
  if (step.at < sent.at) throw new Refused('conflict');
  if (siteOfLot(step.lot) !== to || siteOfVessel(step.vessel) !== to) throw new Refused('conflict');
  requireSameOwner([ownerOfLot(step.lot), ownerOfLot(model.lotOf(composition))]);
  if (categoryOf(step.lot) !== categoryOf(model.lotOf(composition))) throw new Refused('conflict');
  if (model.inVessel(step.vessel) !== undefined) throw new Refused('vessel-in-use');
  const account = inBulk(composition, step.transit, from);
  const balance = model.balance(account);
  const litres = d(step.litres);
  requireEnough(balance, litres);
  const received = litres.isZero() ? ZERO : drawn(balance, litres);
  const lines: Line[] = [
    { account, amount: negated(balance) },
    ...(litres.isZero() ? [] : [{ account: liquid(name, step.vessel), amount: received }]),
  ];
  model.post([{ name, site: to, at: step.at, timing: 'draw', lines }]);
  // It is another composition there, as strong as what was sent.
  const percent = percentOf(model, composition, found);
  model.opens(name, step.lot, { by: name, standing: 'of-record', extract: found.extract, percent });
  model.consignments.set(step.transit, { ...sent, arrivals: [...sent.arrivals, name] });
}
