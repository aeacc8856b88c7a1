import { liquidOfVolume } from '../../src/alcoholometry/liquids/liquid.js';
import { mix } from '../../src/alcoholometry/mixing/mix.js';
import { addSolids } from '../../src/alcoholometry/mixing/solids.js';
import type { Found, Model } from './model.js';
import { ownerOfAccount, ownerOfLot, requireSameOwner } from './owners.js';
import { usedOf } from './plain.js';
import type { Add, Added, Blend, Charge, Crop, Dilute, Find, Gauge, Receipt, Spirit, Split, Transfer } from './step.js';
import { percentOf, restated } from './restated.js';
import type { Amount, Line } from './words.js';
import {
  alcoholOf,
  amount,
  counter,
  d,
  drawn,
  liquid,
  material,
  minus,
  negated,
  plus,
  Refused,
  siteOf,
  siteOfLot,
  siteOfVessel,
  six,
  ZERO,
} from './words.js';
import type { Decimal } from './words.js';

// What happens in the cellar, by the rules of the design.

interface Part {
  readonly amount: Amount;
  readonly extract: number;
}

const strengthOf = (what: Amount): number =>
  what.litres.isZero() ? 0 : alcoholOf(what).dividedBy(what.litres).times(100).toNumber();

/** Mass, extract and both alcohols of the parts; the volume from the density of the result. Extract is kept to twelve places. */
export function mixed(parts: readonly Part[]): Part {
  const used = parts.filter((part) => part.amount.litres.greaterThan(0));
  const result = mix(
    used.map((part) => ({
      volumeL: part.amount.litres.toNumber(),
      strengthPercent: strengthOf(part.amount),
      extractPlato: part.extract,
    })),
  );
  const sum = used.map((part) => part.amount).reduce(plus, ZERO);
  return { amount: { ...sum, litres: six(d(result.volumeL)) }, extract: Number(result.extractPlato.toFixed(12)) };
}

export const requireEnough = (balance: Amount, litres: Decimal): void => {
  if (litres.greaterThan(balance.litres)) throw new Refused('insufficient-stock');
};

const requireEmpty = (model: Model, vessel: string): void => {
  if (model.inVessel(vessel) !== undefined) throw new Refused('vessel-in-use');
};

export function charge(model: Model, { lot, vessel, litres, at }: Charge, name: string): void {
  requireEmpty(model, vessel);
  const lines = [{ account: liquid(name, vessel), amount: amount(litres) }];
  model.post([{ name, site: 'here', at, timing: 'change', lines }]);
  model.opens(name, lot);
}

export function receipt(model: Model, { owner, duty, litres, strength, at }: Receipt, name: string): void {
  const added = six(d(litres).times(strength).dividedBy(100));
  const lines = [{ account: material(name), amount: amount(litres, 0, added) }];
  model.post([{ name, site: 'here', at, timing: 'change', lines }]);
  model.receives(name, owner, duty);
}

export function spirit(model: Model, { lot, vessel, spirits, water, at }: Spirit, name: string): void {
  requireEmpty(model, vessel);
  const draws = spirits.map((each) => {
    const balance = model.balance(material(each.material));
    requireEnough(balance, d(each.litres));
    return { account: material(each.material), amount: drawn(balance, d(each.litres)) };
  });
  requireSameOwner([ownerOfLot(lot), ...draws.map(({ account }) => ownerOfAccount(model, account))]);
  const parts = [...draws.map((each) => each.amount), amount(water)].map((each) => ({ amount: each, extract: 0 }));
  const result = mixed(parts);
  const lines = [
    ...draws.map((each) => ({ ...each, amount: negated(each.amount) })),
    { account: liquid(name, vessel), amount: result.amount },
  ];
  model.post([{ name, site: 'here', at, timing: 'change', lines }]);
  model.opens(name, lot, { by: name, standing: 'of-record', extract: result.extract });
}

export function find(model: Model, { composition, standing, strength, at }: Find, name: string): void {
  const finished = model.isFinished(composition);
  if (standing === 'provisional' && finished) throw new Refused('conflict');
  const percent = Number(strength);
  const down = standing === 'provisional' ? { lines: [], follow: [] } : restated(model, composition, percent);
  const vessels = model.vesselsOf(composition);
  if (vessels.length === 0 && !finished) throw new Refused('conflict');
  const lines = vessels.map((vessel): Line => {
    const account = liquid(composition, vessel);
    const balance = model.balance(account);
    const total = six(balance.litres.times(strength).dividedBy(100));
    const before = alcoholOf(balance);
    // What was added was known before, the rest of the alcohol fermentation made; once finished, both change alike.
    const added = finished && !before.isZero() ? six(balance.added.times(total).dividedBy(before)) : balance.added;
    return { account, amount: minus(amount(balance.litres, total.minus(added), added), balance) };
  });
  const site = siteOfLot(model.lotOf(composition));
  const there = down.lines.filter(({ account }) => siteOf(account) !== site);
  const facts = { at, timing: 'assertion' as const };
  model.post([
    { ...facts, name, site, lines: [...lines, ...down.lines.filter((line) => !there.includes(line))] },
    ...(there.length === 0 ? [] : [{ ...facts, name: counter(name), site: siteOf(there[0].account), lines: there }]),
  ]);
  model.finds(composition, { by: name, standing, extract: 0, percent, measured: true });
  for (const each of down.follow) {
    const extract = model.extractOf(each.composition);
    model.finds(each.composition, { by: name, standing: 'of-record', extract, percent: each.percent });
  }
}

/** Up to this share of the books, what a gauge finds more or less needs no reason. */
const USUAL_DIFFERENCE = 0.05;

/** U of a gauge of the sequences, litres: of the dip 1e-6 L, of a thermometer ± 0.5 °C rectangular at 2.5e-4 per K; 1.959964 for 95 %. */
const uncertaintyOf = (litres: number): number =>
  1.959964 * Math.hypot(0.000001, (2.5e-4 * litres * 0.5) / Math.sqrt(3));

export function gauge(model: Model, { lot, vessel, litres, at, reason }: Gauge, name: string): void {
  const { account, balance } = model.liquidIn(lot, vessel);
  const difference = balance.litres.minus(litres).abs().toNumber();
  const usual = Math.max(uncertaintyOf(Number(litres)), USUAL_DIFFERENCE * balance.litres.toNumber());
  if (difference > usual && reason !== true) throw new Refused('reason-needed');
  const before = alcoholOf(balance);
  const total = six(before.times(litres).dividedBy(balance.litres));
  const added = before.isZero() ? d(0) : six(balance.added.times(total).dividedBy(before));
  const found = amount(litres, total.minus(added), added);
  const lines = [{ account, amount: minus(found, balance) }];
  model.post([{ name, site: siteOfVessel(vessel), at, timing: 'assertion', asserts: 'gauge', lines }]);
}

export function transfer(model: Model, step: Transfer, name: string): void {
  const { composition, account, balance } = model.liquidIn(step.lot, step.from);
  if (siteOfVessel(step.from) !== siteOfVessel(step.to)) throw new Refused('conflict');
  const there = model.inVessel(step.to);
  if (there !== undefined && there !== composition) throw new Refused('vessel-in-use');
  const [litres, loss] = [d(step.litres), d(step.loss)];
  requireEnough(balance, litres);
  requireEnough(amount(litres), loss);
  const out = drawn(balance, litres);
  const lost = loss.isZero() ? ZERO : drawn(out, loss);
  const lines = [
    { account, amount: negated(out) },
    { account: liquid(composition, step.to), amount: minus(out, lost) },
  ];
  model.post([{ name, site: siteOfVessel(step.from), at: step.at, timing: 'draw', lines }]);
}

export function dilute(model: Model, { lot, vessel, water, at }: Dilute, name: string): void {
  const { composition, account, balance } = model.liquidIn(lot, vessel);
  if (!model.isFinished(composition)) throw new Refused('finding-needed');
  const result = mixed([
    { amount: balance, extract: model.extractOf(composition) },
    { amount: amount(water), extract: 0 },
  ]);
  const lines = [
    { account, amount: negated(balance) },
    { account: liquid(name, vessel), amount: result.amount },
  ];
  model.post([{ name, site: 'here', at, timing: 'change', lines }]);
  model.opens(name, lot, { by: name, standing: 'of-record', extract: result.extract });
}

/** Of record where every part has finished; provisional where it is known what has fermented so far. */
function foundOf(name: string, parts: readonly (Found | undefined)[], result: Part, wash: boolean): Found[] {
  if (!wash && parts.every((part) => part?.standing === 'of-record')) {
    return [{ by: name, standing: 'of-record', extract: result.extract }];
  }
  return parts.every((part) => part !== undefined) && alcoholOf(result.amount).greaterThan(0)
    ? [{ by: name, standing: 'provisional', extract: result.extract }]
    : [];
}

export function blend(model: Model, { lot, vessel, components, wash, water, at }: Blend, name: string): void {
  const draws = components.map((each) => {
    const composition = model.inVessel(each.vessel);
    if (composition === undefined) throw new Refused('insufficient-stock');
    const account = liquid(composition, each.vessel);
    const balance = model.balance(account);
    const litres = each.litres === undefined ? balance.litres : d(each.litres);
    requireEnough(balance, litres);
    return { ...each, composition, account, amount: drawn(balance, litres), whole: litres.equals(balance.litres) };
  });
  requireSameOwner([ownerOfLot(lot), ...draws.map(({ account }) => ownerOfAccount(model, account))]);
  if (model.inVessel(vessel) !== undefined) {
    const own = draws.find((each) => each.vessel === vessel);
    if (own === undefined) throw new Refused('vessel-in-use');
    if (!own.whole) throw new Refused('conflict');
  }
  const result = mixed([
    ...draws.map((each) => ({ amount: each.amount, extract: model.extractOf(each.composition) })),
    ...(wash === undefined ? [] : [{ amount: amount(wash.litres), extract: wash.plato }]),
    ...(water === undefined ? [] : [{ amount: amount(water), extract: 0 }]),
  ]);
  const found = foundOf(
    name,
    draws.map(({ composition }) => model.foundOf(composition)),
    result,
    wash !== undefined,
  );
  const lines = [
    ...draws.map(({ account, amount: taken }) => ({ account, amount: negated(taken) })),
    { account: liquid(name, vessel), amount: result.amount },
  ];
  model.post([{ name, site: 'here', at, timing: 'change', lines }]);
  model.opens(name, lot, ...found);
}

/** Up to this share of the mass what is no alcohol, sugar or fruit takes up no litres. */
const NEGLIGIBLE = 0.001;

/** Mass of what is no alcohol, sugar or fruit. */
function plainKilograms(added: Added): number {
  if (added.what === 'fining') return Number(added.kilograms);
  return added.what === 'chase-water'
    ? liquidOfVolume(Number(added.litres), { strengthPercent: 0, extractPlato: 0 }).massKg
    : Infinity;
}

export function add(model: Model, step: Add, name: string): void {
  addTo(model, step, name);
  const used = usedOf(step.added);
  if (used !== undefined) model.plain.enter({ by: name, at: step.at, what: 'used', ...used });
}

function addTo(model: Model, { lot, vessel, added, at }: Add, name: string): void {
  const { composition, account, balance } = model.liquidIn(lot, vessel);
  if (added.what === 'alcohol') requireSameOwner([ownerOfLot(lot), model.ownerOfMaterial(added.material)]);
  else if (added.what !== 'chase-water') requireSameOwner([ownerOfLot(lot), added.owner]);
  const extract = model.extractOf(composition);
  const start = { volumeL: balance.litres.toNumber(), strengthPercent: strengthOf(balance), extractPlato: extract };
  const mass = liquidOfVolume(start.volumeL, start).massKg;
  if (plainKilograms(added) <= NEGLIGIBLE * mass) {
    model.post([{ name, site: 'here', at, timing: 'change', lines: [], madeFor: composition }]);
    return;
  }
  const drawnFrom: Line[] = [];
  let result: Part;
  if (added.what === 'sugar' || added.what === 'fining') {
    const solid = added.what === 'sugar' ? 'sucrose' : 'other-soluble';
    const solved = addSolids({ ...start, solid, massKg: Number(added.kilograms) });
    result = {
      amount: { ...balance, litres: balance.litres.plus(six(d(solved.volumeAddedL))) },
      extract: Number(solved.result.extractPlato.toFixed(12)),
    };
  } else {
    let part: Part = { amount: amount(added.litres), extract: added.what === 'syrup' ? added.plato : 0 };
    if (added.what === 'alcohol') {
      const stock = model.balance(material(added.material));
      requireEnough(stock, d(added.litres));
      part = { amount: drawn(stock, d(added.litres)), extract: 0 };
      drawnFrom.push({ account: material(added.material), amount: negated(part.amount) });
    }
    result = mixed([{ amount: balance, extract }, part]);
  }
  const lines = [
    { account, amount: negated(balance) },
    ...drawnFrom,
    { account: liquid(name, vessel), amount: result.amount },
  ];
  const now = model.foundOf(composition);
  model.post([{ name, site: 'here', at, timing: 'change', lines }]);
  model.opens(name, lot, ...(now === undefined ? [] : [{ by: name, standing: now.standing, extract: result.extract }]));
}

export function split(model: Model, { lot, newLot, from, to, litres, at }: Split, name: string): void {
  const { composition, account, balance } = model.liquidIn(lot, from);
  requireSameOwner([ownerOfLot(lot), ownerOfLot(newLot)]);
  requireEmpty(model, to);
  const taken = litres === undefined ? balance.litres : d(litres);
  requireEnough(balance, taken);
  const out = drawn(balance, taken);
  const lines = [
    { account, amount: negated(out) },
    { account: liquid(name, to), amount: out },
  ];
  const now = model.foundOf(composition);
  model.post([{ name, site: 'here', at, timing: 'draw', lines }]);
  const found = (original: Found): Found => {
    const percent = percentOf(model, composition, original);
    return { by: name, standing: original.standing, extract: original.extract, percent };
  };
  model.opens(name, newLot, ...(now === undefined ? [] : [found(now)]));
}

export function crop(model: Model, { lot, vessel, litres, at }: Crop, name: string): void {
  const { composition, account, balance } = model.liquidIn(lot, vessel);
  if (model.foundOf(composition) === undefined) throw new Refused('finding-needed');
  requireEnough(balance, d(litres));
  const out = drawn(balance, d(litres));
  const lines = [
    { account, amount: negated(out) },
    { account: material(name), amount: out },
  ];
  model.post([{ name, site: 'here', at, timing: 'draw', lines }]);
  model.receives(name, ownerOfLot(lot), 'suspended');
}
