import type { Dice, Wish } from './dice.js';
import type { Model } from './model.js';
import type { Correct, MoveMaterial, Step } from './step.js';
import { MATERIAL_MOVES, NOT_OF_MATERIALS } from './step.js';
import { material } from './words.js';

/** Of material lots that bear alcohol: out, and counted. */
export function materialSteps(model: Model, dice: Dice, at: number): Wish[] {
  const { materials } = model;
  if (materials.length === 0) return [];
  const held = materials.filter((each) => model.balance(material(each)).litres.greaterThan(0));
  const name = dice.pick(held.length > 0 && dice.is(0.9) ? held : materials);
  const there = model.balance(material(name)).litres;
  return [
    [2, () => ({ kind: 'move-material', way: wayOf(dice), material: name, litres: someOf(dice, there), at })],
    [0.8, () => ({ kind: 'count-material', material: name, litres: countedOf(dice, there.toNumber()), at })],
  ];
}

const wayOf = (dice: Dice): MoveMaterial['way'] =>
  dice.pick(dice.is(0.9) ? MATERIAL_MOVES : dice.is(0.5) ? NOT_OF_MATERIALS : (['release'] as const));

/** Some, at times all, at times more than there is. */
const someOf = (dice: Dice, there: { isZero(): boolean; toNumber(): number; toFixed(): string }): string =>
  dice.is(0.1) && !there.isZero()
    ? there.toFixed()
    : dice.litres(0.001, there.toNumber() * (dice.is(0.08) ? 1.5 : 0.4) + 0.01);

/** Near what the books have, all gone, or turned up where they have none left. */
function countedOf(dice: Dice, there: number): string {
  if (dice.is(0.1)) return '0';
  return there === 0 ? dice.litres(0.1, 20) : dice.litres(there * 0.95, there * 1.03, 3);
}

/** Another way out of the same material lot in place of what was entered. */
export function materialInstead(dice: Dice, operation: string, name: string, litres: number, at: number): Correct {
  return {
    kind: 'correct',
    operation,
    by: {
      kind: 'move-material',
      way: wayOf(dice),
      material: name,
      litres: dice.litres(0.001, litres * 1.4 + 0.002),
      at,
    },
  };
}

/** What left before the material lot was counted, and was found out about afterwards. */
export function materialExplaining(dice: Dice, name: string, explains: string, at: number): Step {
  return { kind: 'move-material', way: wayOf(dice), material: name, litres: dice.litres(0.01, 4), at, explains };
}
