import type { Model, Step } from './model.js';
import { liquid, packed } from './model.js';

/** A seeded source of chances: mulberry32, so that a sequence that fails can be run again. */
export function chances(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const LAST_HOUR = 700;

/** A next step: mostly one that should go through, at times one that should not, dated back at times. */
export function nextStep(
  model: Model,
  chance: () => number,
  now: number,
  lots: readonly string[],
  vessels: readonly string[],
): Step {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(chance() * list.length)];
  const decimal = (low: number, high: number, places: number): string =>
    (low + chance() * (high - low)).toFixed(places);
  const at = chance() < 0.25 ? Math.floor(chance() * LAST_HOUR) : Math.min(LAST_HOUR, now);
  const lot = pick(lots);
  const vessel = pick(vessels);
  const filled = vessels.filter((each) => model.inVessel(each) !== undefined);
  const where = filled.length > 0 && chance() < 0.9 ? pick(filled) : vessel;
  const composition = model.inVessel(where);
  const holder =
    composition === undefined ? lot : (lots.find((each) => model.compositionsOf(each).includes(composition)) ?? lot);
  const there = composition === undefined ? 10 : model.balance(liquid(composition, where)).litres.toNumber();
  const asked = decimal(0.001, Math.max(0.01, there * (chance() < 0.1 ? 1.5 : 0.6)), pick([1, 1, 3, 6]));
  const some = Number(asked) > 0 ? asked : '0.001';
  if (model.packagedLots.length > 0 && chance() < 0.3) {
    return chance() < 0.2 && model.assertions.length > 0
      ? explainingStep(model, chance)
      : packedStep(model, chance, at);
  }
  const roll = chance();
  if (filled.length === 0 || roll < 0.12) {
    return { kind: 'charge', lot, vessel, litres: decimal(1, 400, 3), at };
  }
  if (roll < 0.3 && composition !== undefined && !model.isFinished(composition)) {
    return { kind: 'find', lot: holder, composition, strength: decimal(0.5, 14, 4), at };
  }
  if (roll < 0.38)
    return { kind: 'gauge', lot: holder, vessel: where, litres: decimal(there * 0.95, there * 1.03 + 0.01, 3), at };
  if (roll < 0.5) {
    const to = pick(vessels.filter((each) => each !== where));
    const isPlain = chance() < 0.8;
    return {
      kind: 'transfer',
      lot: holder,
      from: where,
      to,
      litres: some,
      loss: isPlain ? '0' : (Number(some) / 10).toFixed(6),
      at,
    };
  }
  if (roll < 0.58) return { kind: 'dilute', lot: holder, vessel: where, water: decimal(0.1, there + 1, 3), at };
  if (roll < 0.7) {
    const most = Math.max(1, Math.floor(there / 0.5) - 1);
    // Far too many or well within: what lies between is a gain within the uncertainty of the gauge, which is tried elsewhere.
    const count = chance() < 0.08 || there < 1.5 ? most * 3 + 50 : Math.max(1, Math.floor(chance() * most));
    return { kind: 'pack', lot: holder, vessel: where, count, ...(chance() < 0.5 ? { loss: '0.25' } : {}), at };
  }
  if (roll < 0.82) return { kind: 'draw', lot: holder, vessel: where, litres: some, at };
  if (roll < 0.9 && model.packagedLots.length > 0) return packedStep(model, chance, at);
  if (roll < 0.94 && model.assertions.length > 0) return explainingStep(model, chance);
  return { kind: 'reverse', operation: pick(model.operations).name };
}

/** Out of a packaged lot, back into it, or a count of it. */
function packedStep(model: Model, chance: () => number, at: number): Step {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(chance() * list.length)];
  const packaged = pick(model.packagedLots);
  const held = Math.floor(model.balance(packed(packaged)).litres.dividedBy(0.5).toNumber());
  const roll = chance();
  if (roll < 0.5) {
    return { kind: 'release', packaged, count: Math.max(1, Math.floor(chance() * (held + 2))), at };
  }
  if (roll < 0.75) return { kind: 'return', packaged, count: Math.max(1, Math.floor(chance() * 12)), at };
  return { kind: 'count', packaged, count: Math.max(0, held + pick([-3, -1, 0, 0, 1])), at };
}

/** A draw that says which gauge or count it explains: mostly one before it, of the same goods. */
function explainingStep(model: Model, chance: () => number): Step {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(chance() * list.length)];
  const { name: explains, at: then, account } = pick(model.assertions);
  const at = chance() < 0.9 ? then - 1 - Math.floor(chance() * Math.min(60, then)) : then;
  const [kind, what, vessel] = account.split('/');
  if (kind === 'packed') {
    return { kind: 'release', packaged: what, count: 1 + Math.floor(chance() * 4), at: Math.max(0, at), explains };
  }
  const litres = (0.1 + chance() * 5).toFixed(pick([1, 3, 6]));
  return { kind: 'draw', lot: String(model.lotOf(what)), vessel, litres, at: Math.max(0, at), explains };
}
