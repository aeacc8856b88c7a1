import { MetrologyError, requireInRange, shortNumber } from '../../metrology/problem.js';
import { strengthOfDrinkPercent, type DrinkByMass } from '../liquids/drink.js';
import {
  addMasses,
  compositionOf,
  liquidOfMasses,
  liquidOfVolume,
  MAXIMUM_VOLUME_L,
  volumeAt20OfL,
  type Liquid,
  type LiquidSpec,
  type Masses,
} from '../liquids/liquid.js';

/** A liquid and the temperature at which its volume is read; 20 °C by default. */
export interface Stream extends LiquidSpec {
  readonly temperatureC?: number;
}

interface ToStrengthInput {
  readonly start: Stream;
  readonly addition: Stream;
  /** % vol at 20 °C of the result. */
  readonly targetStrengthPercent: number;
  /** Of the start liquid, L at its temperature; exactly one of the two is given. */
  readonly volumeL?: number;
  /** Of the result, L at 20 °C. */
  readonly finalVolumeL?: number;
}

interface ToStrength {
  readonly start: Liquid;
  readonly addition: Liquid;
  readonly result: Liquid;
  /** The start liquid at its own temperature, L. */
  readonly startVolumeAtTemperatureL: number;
  /** The addition at its own temperature, L. */
  readonly additionVolumeAtTemperatureL: number;
  /** Result minus inputs at 20 °C, L: negative where mixing shrinks. */
  readonly volumeChangeL: number;
  readonly warnings: readonly string[];
}

/** Below this a strength cannot be reached by dilution: it would take more than ten thousand times the volume. */
const MINIMUM_TARGET_PERCENT = 0.01;
const FLAMMABLE_PERCENT = 20;
const ITERATIONS = 200;

/**
 * Amount of one liquid that brings another to a strength. Mass, pure alcohol and extract are conserved; volumes are not.
 *
 * The addition may be water, a weaker drink, or (fortification) a stronger liquid. Solved to 1e-13 in the mixing ratio, so the strength
 * is reached to 1e-9 relative. Strengths 0 to 100 % vol, target from 0.01; volumes to 10⁹ L; temperatures 0 to 40 °C (−20 to 40 without
 * extract). Source: OIML R 22, Tabarié with ICUMSA SPS-4. Error of the volume change: without extract 0.01 % of the volume.
 * @throws MetrologyError `contradictory` (both or neither volume), `no-solution` where the target does not lie between the two strengths,
 *   `out-of-range`, `not-finite`
 */
export function bringToStrength(input: ToStrengthInput): ToStrength {
  const { start, addition, targetStrengthPercent, volumeL, finalVolumeL } = input;
  requireInRange('targetStrength', targetStrengthPercent, MINIMUM_TARGET_PERCENT, 100, '% vol');
  if ((volumeL === undefined) === (finalVolumeL === undefined)) {
    throw new MetrologyError('contradictory', 'Give exactly one of volume and finalVolume.', { pointer: 'volume' });
  }
  if (volumeL !== undefined) requireInRange('volume', volumeL, 1e-6, MAXIMUM_VOLUME_L, 'L');
  if (finalVolumeL !== undefined) requireInRange('finalVolume', finalVolumeL, 1e-6, MAXIMUM_VOLUME_L, 'L');
  const startComposition = compositionOf(start, 'start');
  const additionComposition = compositionOf(addition, 'addition');
  const ratio = additionPerStart(start, startComposition, addition, additionComposition, targetStrengthPercent);

  const unit = liquidOfVolume(1, start, 'start');
  const unitResult = liquidOfMasses(addMasses(unit, massesOf(additionComposition, unit.massKg * ratio)));
  const startVolumeL =
    volumeL === undefined
      ? (finalVolumeL ?? 0) / unitResult.volumeL
      : atItsTemperature('start', () => volumeAt20OfL(volumeL, start.temperatureC ?? 20, unit));
  const { warnings, ...startLiquid } = liquidOfVolume(startVolumeL, start, 'start');
  const added = liquidOfMasses(massesOf(additionComposition, startLiquid.massKg * ratio));
  const result = liquidOfMasses(addMasses(startLiquid, added));
  requireInRange('finalVolume', result.volumeL, 0, MAXIMUM_VOLUME_L, 'L');
  return {
    start: startLiquid,
    addition: added,
    result,
    startVolumeAtTemperatureL: volumeL ?? volumeAtTemperatureL('start', startLiquid, start.temperatureC),
    additionVolumeAtTemperatureL: volumeAtTemperatureL('addition', added, addition.temperatureC),
    volumeChangeL: result.volumeL - startLiquid.volumeL - added.volumeL,
    warnings: [...warnings, ...additionComposition.warnings, ...cautions([start, addition], targetStrengthPercent)],
  };
}

/** Warnings about mixing: vapour of strong liquids, and extract that was not given. */
export function cautions(liquids: readonly LiquidSpec[], strengthPercent: number): string[] {
  const warnings: string[] = [];
  const strongest = Math.max(...liquids.map((liquid) => liquid.strengthPercent));
  if (strongest >= FLAMMABLE_PERCENT) {
    warnings.push(
      'The vapour of strong spirit ignites: no flame or spark, ventilate; local codes and licensed practice decide on its handling.',
      'Spirit and water warm each other on mixing: gauge the result when it is back near 20 °C, and by measurement for any label.',
    );
  }
  const plain = liquids.some(
    ({ strengthPercent: own, extractPlato, densityKgM3 }) =>
      own > 0 && own < FLAMMABLE_PERCENT && extractPlato === undefined && densityKgM3 === undefined,
  );
  if (plain && strengthPercent < FLAMMABLE_PERCENT) {
    warnings.push(
      'Without extract or density a liquid is assumed to be only alcohol and water; a drink with extract is heavier.',
    );
  }
  return warnings;
}

export function massesOf(composition: DrinkByMass, massKg: number): Masses {
  return {
    massKg,
    alcoholKg: massKg * composition.alcoholMassFraction,
    extractKg: (massKg * composition.extractPlato) / 100,
  };
}

function volumeAtTemperatureL(name: string, liquid: Liquid, temperatureC = 20): number {
  if (liquid.volumeL === 0) return 0;
  // V(t) from V(20) by the same ratio of densities that brings V(t) to 20 °C.
  return liquid.volumeL / atItsTemperature(name, () => volumeAt20OfL(1, temperatureC, liquid));
}

/** Names the liquid whose temperature is refused. */
function atItsTemperature(name: string, compute: () => number): number {
  try {
    return compute();
  } catch (error) {
    if (!(error instanceof MetrologyError) || error.details.pointer !== 'temperature') throw error;
    throw new MetrologyError(error.rule, error.message, { ...error.details, pointer: `${name}.temperature` });
  }
}

/** Kilograms of addition per kilogram of start that give the target strength. */
function additionPerStart(
  start: LiquidSpec,
  startComposition: DrinkByMass,
  addition: LiquidSpec,
  additionComposition: DrinkByMass,
  target: number,
): number {
  const [from, to] = [start.strengthPercent, addition.strengthPercent];
  if (target === from) return 0;
  const between = (target < from && target > to) || (target > from && target < to);
  if (!between) {
    const range: [number, number] = [Math.min(from, to), Math.max(from, to)];
    throw new MetrologyError(
      'no-solution',
      target > from
        ? `A strength of ${shortNumber(target)} % vol lies above the ${shortNumber(from)} % vol at the start; what is added has ${shortNumber(to)} % vol.`
        : `A strength of ${shortNumber(target)} % vol cannot be reached from ${shortNumber(from)} % vol by adding ${shortNumber(to)} % vol.`,
      { pointer: 'targetStrength', range, unit: '% vol', value: target },
    );
  }
  const share = shareForStrength(startComposition, additionComposition, target);
  return share / (1 - share);
}

/** Mass share of the addition, by bisection and secant in a bracket (regula falsi of Illinois kind). */
function shareForStrength(a: DrinkByMass, b: DrinkByMass, target: number): number {
  const excess = (share: number): number =>
    strengthOfDrinkPercent({
      alcoholMassFraction: a.alcoholMassFraction + share * (b.alcoholMassFraction - a.alcoholMassFraction),
      extractPlato: a.extractPlato + share * (b.extractPlato - a.extractPlato),
    }) - target;
  let [low, high] = [0, 1];
  let [atLow, atHigh] = [excess(0), excess(1)];
  let side = 0;
  for (let i = 0; i < ITERATIONS && high - low > 1e-15; i += 1) {
    const share = (low * atHigh - high * atLow) / (atHigh - atLow);
    const value = excess(share);
    if (value === 0) return share;
    if (value > 0 === atHigh > 0) {
      [high, atHigh] = [share, value];
      if (side === 1) atLow /= 2;
      side = 1;
    } else {
      [low, atLow] = [share, value];
      if (side === -1) atHigh /= 2;
      side = -1;
    }
    if (Math.abs(value) < 1e-13 * target) return share;
  }
  return (low * atHigh - high * atLow) / (atHigh - atLow);
}
