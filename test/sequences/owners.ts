import type { Dice } from './dice.js';
import type { Model } from './model.js';
import type { Json } from './request-parts.js';
import { material, Refused } from './words.js';

// Whose the stock is: a lot and what was received have one owner, and what belongs to one does not become part of another's.

export type Owner = 'own' | 'other';

const OF_OTHER: readonly string[] = ['lot-4', 'lot-5', 'far-lot-3'];
export const LOTS = ['lot-1', 'lot-2', 'lot-3', 'lot-4', 'lot-5'];

export const ownerOfLot = (lot: string): Owner => (OF_OTHER.includes(lot) ? 'other' : 'own');

/** Every stock account is of one owner: that of the lot or of what was received. */
export function ownerOfAccount(model: Model, account: string): Owner {
  const [kind, what] = account.split('/');
  switch (kind) {
    case 'material':
      return model.ownerOfMaterial(what);
    case 'liquid':
    case 'bulk':
      return ownerOfLot(model.lotOf(what));
    default:
      return ownerOfLot(model.lotOf(model.packaged(what).composition));
  }
}

export function requireSameOwner(owners: readonly Owner[]): void {
  if (new Set(owners).size > 1) throw new Refused('conflict');
}

const OTHER_NAME = 'Weir Brewery (invented)';

export const ownerName = (owner: Owner): string => (owner === 'own' ? 'own' : OTHER_NAME);
/** As a request says it: what is the producer's own needs no word. */
export const ownerField = (owner: Owner): Json => (owner === 'own' ? {} : { owner: OTHER_NAME });

/** Mostly the producer's own. */
export const anyOwner = (dice: Dice): Owner => (dice.is(0.3) ? 'other' : 'own');
/** Mostly the same. */
export const nearlyAlways = (dice: Dice, owner: Owner): Owner => (dice.is(0.9) ? owner : anyOwner(dice));

/** A lot of an owner, other than one of them. */
export const lotOfOwner = (dice: Dice, owner: Owner, except?: string): string =>
  dice.pick(LOTS.filter((each) => ownerOfLot(each) === owner && each !== except));

/** What is there of an owner, or of anybody where that one has nothing. */
export function ofOwner(model: Model, materials: readonly string[], owner: Owner): readonly string[] {
  const own = materials.filter((each) => ownerOfAccount(model, material(each)) === owner);
  return own.length > 0 ? own : materials;
}
