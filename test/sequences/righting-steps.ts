import type { Dice, Wish } from './dice.js';
import { materialExplaining, materialInstead } from './material-steps.js';
import type { Model } from './model.js';
import type { Correct, MoveBulk, Step } from './step.js';
import { BULK_MOVES } from './step.js';
import { FIRST_ENDS, isStock, packed } from './words.js';

/** What puts right: reversals, events instead of others, draws that explain a later gauge or count; and the closing of a period. */
export function rightingSteps(model: Model, dice: Dice, at: number, now: number): Wish[] {
  const { operations, assertions } = model;
  if (operations.length === 0) return [];
  const again = operations.filter(({ name }) => model.named(name)?.reverses !== undefined);
  const wishes: Wish[] = [
    [
      1.4,
      () => ({ kind: 'reverse', operation: dice.pick(again.length > 0 && dice.is(0.2) ? again : operations).name }),
    ],
    [
      now > FIRST_ENDS ? 0.7 : 0.02,
      () => ({ kind: 'close', site: dice.is(0.8) ? 'here' : 'there', period: dice.is(0.85) ? 1 : 2 }),
    ],
  ];
  const draws = model.operations.flatMap(({ name }) => instead(model, dice, name, at));
  if (draws.length > 0) wishes.push([0.8, () => dice.pick(draws)]);
  if (assertions.length > 0) wishes.push([0.8, () => explaining(model, dice)]);
  return wishes;
}

/** Another draw out of the same vessel, or of the same packed goods, at the same time. */
function instead(model: Model, dice: Dice, operation: string, now: number): Correct[] {
  const original = model.named(operation);
  const lines = (original?.lines ?? []).filter((line) => isStock(line.account));
  const filled = lines.find(({ account }) => account === packed(operation));
  if (filled !== undefined && lines[0].account.startsWith('liquid/') && original !== undefined) {
    const [, composition, vessel] = lines[0].account.split('/');
    const { nominal } = model.packaged(operation);
    const count = Math.max(
      1,
      filled.amount.litres
        .dividedBy(nominal)
        .times(dice.pick(['0.5', '0.97']))
        .floor()
        .toNumber(),
    );
    const by = {
      kind: 'pack' as const,
      lot: model.lotOf(composition),
      vessel,
      count,
      nominal,
      loss: '0',
      at: original.at,
    };
    return [{ kind: 'correct', operation, by }];
  }
  if (original?.timing !== 'draw' || original.explains !== undefined || lines.length !== 1) return [];
  const [kind, what, where, duty] = lines[0].account.split('/');
  const at = dice.is(0.8) ? original.at : now;
  if (kind === 'liquid') {
    const litres = dice.litres(0.01, lines[0].amount.litres.abs().toNumber() * 1.4);
    const by: MoveBulk = {
      kind: 'move-bulk',
      lot: model.lotOf(what),
      vessel: where,
      way: dice.pick(BULK_MOVES),
      litres,
      at,
    };
    return [{ kind: 'correct', operation, by }];
  }
  if (kind === 'material') {
    return [materialInstead(dice, operation, what, lines[0].amount.litres.abs().toNumber(), at)];
  }
  if (kind !== 'packed') return [];
  const by = {
    kind: 'move-packed' as const,
    packaged: what,
    count: 1 + dice.below(12),
    site: where === 'there' ? ('there' as const) : ('here' as const),
    duty: duty === 'paid' ? ('paid' as const) : ('suspended' as const),
    way: dice.pick(['release', 'theft', 'sample'] as const),
    at,
  };
  return [{ kind: 'correct', operation, by }];
}

/** A draw that says which gauge or count it explains: mostly one before it, of the same goods. */
function explaining(model: Model, dice: Dice): Step {
  const { name: explains, at: then, account } = dice.pick(model.assertions);
  const at = Math.max(0, dice.is(0.9) ? then - 1 - dice.below(Math.min(60, then)) : then);
  const [kind, what, where, duty] = account.split('/');
  if (kind === 'packed') {
    return {
      kind: 'move-packed',
      way: dice.pick(['release', 'theft', 'sample']),
      packaged: what,
      count: 1 + dice.below(4),
      site: where === 'there' ? 'there' : 'here',
      duty: duty === 'paid' ? 'paid' : 'suspended',
      at,
      explains,
    };
  }
  if (kind === 'material') return materialExplaining(dice, what, explains, at);
  const litres = dice.litres(0.1, 5);
  return {
    kind: 'move-bulk',
    way: dice.pick(['process-loss', 'sample', 'yeast-and-trub']),
    lot: model.lotOf(what),
    vessel: where,
    litres,
    at,
    explains,
  };
}
