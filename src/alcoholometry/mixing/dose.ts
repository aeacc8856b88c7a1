import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import {
  addMasses,
  compositionOf,
  liquidOfMasses,
  liquidOfVolume,
  type Liquid,
  type LiquidSpec,
} from '../liquids/liquid.js';
import { cautions, massesOf } from './to-strength.js';

/** Amount of flavouring in a drink. */
export type Dose =
  | { readonly per: 'bottle'; readonly doseMl: number; readonly bottleMl: number }
  | { readonly per: 'litre-of-finished-drink'; readonly doseMl: number }
  | { readonly per: 'litre-of-base'; readonly doseMl: number };

export interface DoseInput {
  readonly base: LiquidSpec;
  /** Its own strength and extract (a syrup's °Bx is its extract in °P), or its measured density. */
  readonly flavouring: LiquidSpec;
  readonly dose: Dose;
  /** Of the base, L at 20 °C; one litre by default. */
  readonly volumeL?: number;
}

interface Dosed {
  readonly base: Liquid;
  readonly flavouring: Liquid;
  readonly result: Liquid;
  /** Result minus base, % vol. */
  readonly strengthChangePercent: number;
  /** Result minus base, °P. */
  readonly extractChangePlato: number;
  /** Result minus both inputs at 20 °C, L. */
  readonly volumeChangeL: number;
  /** Of the alcohol in the result, how much the flavouring brought, 0 to 1. */
  readonly alcoholShareAdded: number;
  readonly warnings: readonly string[];
}

/**
 * Effect on strength, extract and volume of a dose of flavouring with its own alcohol and sugar.
 *
 * A dose per bottle, or per litre of finished drink, is a part of the finished volume, and the base makes up the rest. A dose per litre
 * of base is added on top. Doses 0 to 1000 mL per litre; bottles 10 mL to 100 L. Ranges, error and source otherwise: see `mix`.
 * @throws MetrologyError `out-of-range`, `not-finite`, `contradictory` (a dose as large as the finished volume)
 */
export function dose(input: DoseInput): Dosed {
  const { base, flavouring, volumeL = 1 } = input;
  const { warnings: baseWarnings, ...baseLiquid } = liquidOfVolume(
    requireInRange('volume', volumeL, 1e-6, 1e9, 'L'),
    base,
    'base',
  );
  const composition = compositionOf(flavouring, 'flavouring');
  const unit = liquidOfVolume(1, flavouring, 'flavouring');
  const flavouringL = flavouringVolumeL(input.dose, baseLiquid, unit);
  const added = liquidOfMasses(massesOf(composition, flavouringL * unit.massKg));
  const result = liquidOfMasses(addMasses(baseLiquid, added));
  return {
    base: baseLiquid,
    flavouring: added,
    result,
    strengthChangePercent: result.strengthPercent - baseLiquid.strengthPercent,
    extractChangePlato: result.extractPlato - baseLiquid.extractPlato,
    volumeChangeL: result.volumeL - baseLiquid.volumeL - added.volumeL,
    alcoholShareAdded: result.pureAlcoholL === 0 ? 0 : added.pureAlcoholL / result.pureAlcoholL,
    warnings: [...baseWarnings, ...composition.warnings, ...cautions([base, flavouring], result.strengthPercent)],
  };
}

function flavouringVolumeL(dose: Dose, base: Liquid, unit: Liquid): number {
  if (dose.per === 'litre-of-base') {
    return (base.volumeL * requireInRange('dose', dose.doseMl, 0, 1000, 'mL/L')) / 1000;
  }
  const fraction = finishedFraction(dose);
  if (fraction >= 1) {
    throw new MetrologyError('contradictory', 'The dose is as large as the finished volume.', { pointer: 'dose' });
  }
  // x litres of flavouring are the stated fraction of the finished volume. Volumes do not add, so x is found by iteration.
  let flavouringL = (base.volumeL * fraction) / (1 - fraction);
  for (let i = 0; i < 100; i += 1) {
    const part = {
      massKg: flavouringL * unit.massKg,
      alcoholKg: flavouringL * unit.alcoholKg,
      extractKg: flavouringL * unit.extractKg,
    };
    const finished = liquidOfMasses(addMasses(base, part));
    const next = (fraction * (finished.volumeL - flavouringL)) / (1 - fraction);
    if (Math.abs(next - flavouringL) <= 1e-14 * next) return next;
    flavouringL = next;
  }
  return flavouringL;
}

function finishedFraction(dose: Exclude<Dose, { per: 'litre-of-base' }>): number {
  if (dose.per === 'litre-of-finished-drink') return requireInRange('dose', dose.doseMl, 0, 1000, 'mL/L') / 1000;
  const bottleMl = requireInRange('bottle', dose.bottleMl, 10, 100_000, 'mL');
  return requireInRange('dose', dose.doseMl, 0, bottleMl, 'mL') / bottleMl;
}
