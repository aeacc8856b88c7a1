import { requireEnough } from './cellar.js';
import type { Model } from './model.js';
import { explain } from './moves.js';
import type { CountMaterial, MoveMaterial } from './step.js';
import type { Amount } from './words.js';
import { atStrengthOf, d, drawn, material, minus, negated, Refused, ZERO } from './words.js';

// Material lots that bear alcohol: spirit and yeast crops, out of the container that they came in, and counted.

/** What happens to liquid of a cellar, to a packing run or on the spot is no way for a material. */
export function requireMaterialWay({ way }: MoveMaterial): void {
  if (way === 'own-use') throw new Refused('not-packed');
  if (way === 'packaging-loss' || way === 'filtering-loss' || way === 'yeast-and-trub') {
    throw new Refused('validation-failed');
  }
}

/** What duty was paid on is released, and does not go out under suspension; the rest the other way round. */
function requireDuty(model: Model, { way, material: name }: MoveMaterial): void {
  if (way === 'release' && model.dutyOf(name) === 'suspended') throw new Refused('not-packed');
  if (way === 'dispatch-suspended' && model.dutyOf(name) === 'paid') throw new Refused('conflict');
}

export function moveMaterial(model: Model, step: MoveMaterial, name: string): void {
  requireMaterialWay(step);
  const account = material(step.material);
  const litres = d(step.litres);
  if (step.explains !== undefined) {
    const facts = { name, at: step.at, site: 'here' as const, explains: step.explains };
    const permit = (): void => requireDuty(model, step);
    return explain(model, facts, litres, (each) => each === account, undefined, permit);
  }
  const balance = model.balance(account);
  requireEnough(balance, litres);
  requireDuty(model, step);
  const lines = [{ account, amount: negated(drawn(balance, litres)) }];
  model.post([{ name, site: 'here', at: step.at, timing: 'draw', lines }]);
}

/** By a stock-take: at the strength that the books had then, or that it came in with where they had none left. */
export function countMaterial(model: Model, step: CountMaterial, name: string): void {
  const account = material(step.material);
  const balance = model.balanceAt(account, step.at);
  const standing = balance.litres.isZero() ? receivedAs(model, step) : balance;
  model.requireNotCounted(account, step.at);
  const litres = d(step.litres);
  const found = litres.isZero() ? ZERO : litres.equals(standing.litres) ? standing : atStrengthOf(standing, litres);
  const lines = [{ account, amount: minus(found, balance) }];
  model.post([{ name, site: 'here', at: step.at, timing: 'assertion', asserts: 'count', lines }]);
}

function receivedAs(model: Model, { material: name, at }: CountMaterial): Amount {
  const receipt = model.named(name);
  if (receipt === undefined || model.isReversed(name) || receipt.at > at) throw new Refused('conflict');
  const received = model.balanceAt(material(name), receipt.at);
  if (received.litres.isZero()) throw new Refused('conflict');
  return received;
}
