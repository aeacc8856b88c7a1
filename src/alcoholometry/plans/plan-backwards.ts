import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { toExtract, type Gravity } from '../liquids/gravity-scales.js';
import { strengthOf } from '../strength/composition.js';
import { ferment, fermentUnchecked, type Expectation } from './plan-ferment.js';
import {
  MAXIMUM_WASH_FRACTION,
  planOfSolids,
  solidsOf,
  sharesOf,
  washDensityKgM3,
  type Fermentable,
  type Plan,
  type Solids,
} from './plan.js';

interface WantedInput {
  /** Their masses count as proportions only. */
  readonly fermentables: readonly Fermentable[];
  /** % vol at 20 °C after fermentation, 0.05 up. */
  readonly strengthPercent: number;
  /** After fermentation, degassed, yeast out, L at 20 °C. */
  readonly finalVolumeL: number;
  readonly expectation: Expectation;
}

interface WantedPlan extends Plan {
  /** With the masses to weigh out. */
  readonly fermentables: readonly Fermentable[];
  /** Of the wash before yeast, L at 20 °C. */
  readonly washVolumeL: number;
}

/**
 * Masses of fermentables, in given proportions, for a wanted strength and volume: the inverse of `plan`, to 1e-10 relative.
 *
 * Range, error and source: see `plan`.
 * @throws MetrologyError `no-solution` where even 60 % solids are not enough (the details give the highest possible strength), and as
 *   `plan`
 */
export function planForStrength({ fermentables, strengthPercent, finalVolumeL, expectation }: WantedInput): WantedPlan {
  requireInRange('strength', strengthPercent, 0.05, 100, '% vol');
  requireInRange('finalVolume', finalVolumeL, 1e-3, 1e9, 'L');
  const proportion = solidsOf(fermentables);
  const proportionKg = proportion.dextroseKg + proportion.otherKg;
  if (proportionKg === 0) {
    throw new MetrologyError('contradictory', 'The proportions of the fermentables add up to zero.', {
      pointer: 'fermentables',
    });
  }
  const dextroseShare = proportion.dextroseKg / proportionKg;
  const shares = sharesOf(proportion);
  const strengthAt = (fraction: number): number => {
    const density = washDensityKgM3(fraction, dextroseShare);
    const { alcoholMassPercent, realExtractPlato } = fermentUnchecked(platoOf(density), expectation, shares);
    return alcoholMassPercent <= 0 ? 0 : strengthOf(alcoholMassPercent, realExtractPlato);
  };
  const fraction = fractionFor(strengthAt, strengthPercent, highestFraction(dextroseShare));
  const kgPerL = (fraction * washDensityKgM3(fraction, dextroseShare)) / 1000;
  const one = planOfSolids(timesSolids(proportion, kgPerL / proportionKg), 1, expectation);
  const washVolumeL = finalVolumeL / one.finalVolumeL;
  const scale = (kgPerL * washVolumeL) / proportionKg;
  return {
    ...planOfSolids(timesSolids(proportion, scale), washVolumeL, expectation),
    fermentables: fermentables.map((fermentable) => ({ ...fermentable, massKg: fermentable.massKg * scale })),
    washVolumeL,
  };
}

interface ShortfallInput {
  readonly planned: Gravity;
  readonly measured: Gravity;
  /** Of the wash as measured, L at 20 °C. */
  readonly volumeL: number;
  /** Expected end of fermentation, for the planned and the measured original gravity. */
  readonly expectation: Expectation;
  /** Sugar that corrects a shortfall; anhydrous dextrose by default. */
  readonly sugar?: 'dextrose-anhydrous' | 'dextrose-monohydrate' | 'sucrose';
}

interface Shortfall {
  readonly plannedPlato: number;
  readonly measuredPlato: number;
  readonly plannedStrengthPercent: number;
  readonly expectedStrengthPercent: number;
  /** Expected minus planned, % vol. */
  readonly strengthChangePercent: number;
  /** Sugar that brings the wash to the planned gravity, kg as weighed; zero if it is not short. */
  readonly sugarKg: number;
  /** Water that brings it down to the planned gravity, kg; zero if it is not above. */
  readonly waterKg: number;
  /** After the addition, L at 20 °C. */
  readonly volumeAfterL: number;
}

/**
 * Effect on strength of an original gravity that differs from the plan, and the sugar (or water) that corrects it before fermentation.
 *
 * Gravities −5 to 60 °P on any scale. Sugar by its own density, so that the planned gravity is met to 1e-10. Error: see `plan`.
 * @throws MetrologyError as `plan`; `no-solution` where the planned gravity lies beyond a solution of the sugar
 */
export function originalGravityShortfall(input: ShortfallInput): Shortfall {
  const { volumeL, expectation, sugar = 'dextrose-anhydrous' } = input;
  requireInRange('volume', volumeL, 1e-3, 1e9, 'L');
  const planned = toExtract(input.planned);
  const measured = toExtract(input.measured);
  const [plannedStrengthPercent, expectedStrengthPercent] = [planned, measured].map(({ extractPlato }) => {
    const { alcoholMassPercent, realExtractPlato } = ferment(extractPlato, expectation);
    return strengthOf(alcoholMassPercent, realExtractPlato);
  });
  const massKg = (measured.densityKgM3At20 * volumeL) / 1000;
  const sugarKg =
    planned.extractPlato > measured.extractPlato
      ? sugarToReach(massKg, measured.extractPlato, planned.densityKgM3At20, sugar)
      : 0;
  const waterKg =
    planned.extractPlato < measured.extractPlato
      ? waterToReach(massKg, measured.extractPlato, planned.extractPlato)
      : 0;
  return {
    plannedPlato: planned.extractPlato,
    measuredPlato: measured.extractPlato,
    plannedStrengthPercent,
    expectedStrengthPercent,
    strengthChangePercent: expectedStrengthPercent - plannedStrengthPercent,
    sugarKg,
    waterKg,
    volumeAfterL:
      sugarKg === 0 && waterKg === 0 ? volumeL : (1000 * (massKg + sugarKg + waterKg)) / planned.densityKgM3At20,
  };
}

function sugarToReach(
  massKg: number,
  plato: number,
  densityKgM3: number,
  sugar: ShortfallInput['sugar'] & string,
): number {
  const solidsKg = (massKg * plato) / 100;
  const short = (sugarKg: number): number => {
    const added = solidsOf([{ kind: sugar, massKg: sugarKg }]);
    const totalKg = solidsKg + added.dextroseKg + added.otherKg;
    const fraction = totalKg / (massKg + sugarKg);
    return washDensityKgM3(fraction, totalKg === 0 ? 0 : added.dextroseKg / totalKg) - densityKgM3;
  };
  let [low, high] = [0, massKg * (0.59 - plato / 100)];
  if (high <= 0 || short(high) < 0) {
    throw new MetrologyError(
      'no-solution',
      'The planned gravity is above that of the strongest solution of this sugar.',
      {
        pointer: 'planned',
      },
    );
  }
  for (let i = 0; i < 200 && high - low > 1e-15 * massKg; i += 1) {
    const middle = (low + high) / 2;
    if (short(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function waterToReach(massKg: number, plato: number, target: number): number {
  if (target <= 0) {
    throw new MetrologyError('no-solution', 'Water alone cannot bring a wash to the gravity of water.', {
      pointer: 'planned',
    });
  }
  return massKg * (plato / target - 1);
}

function platoOf(densityKgM3: number): number {
  return toExtract({ value: densityKgM3, scale: 'density-kg-m3' }).extractPlato;
}

/** Dextrose at 60 % reads below 60 °P, sucrose exactly that: keep the search inside the scale. */
function highestFraction(dextroseShare: number): number {
  return dextroseShare === 0 ? MAXIMUM_WASH_FRACTION - 1e-12 : MAXIMUM_WASH_FRACTION;
}

/** Strength rises with solids: bisection. */
function fractionFor(strengthAt: (fraction: number) => number, wanted: number, highest: number): number {
  let [low, high] = [0, highest];
  const most = strengthAt(high);
  if (most < wanted) {
    throw new MetrologyError(
      'no-solution',
      `Even a wash with ${100 * MAXIMUM_WASH_FRACTION} % of solids gives only ${most.toFixed(1)} % vol.`,
      {
        pointer: 'strength',
        highestStrengthPercent: most,
      },
    );
  }
  for (let i = 0; i < 100 && high - low > 1e-16; i += 1) {
    const middle = (low + high) / 2;
    if (strengthAt(middle) < wanted) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function timesSolids({ dextroseKg, otherKg, sucroseKg, boundWaterKg }: Solids, factor: number): Solids {
  return {
    dextroseKg: dextroseKg * factor,
    otherKg: otherKg * factor,
    sucroseKg: sucroseKg * factor,
    boundWaterKg: boundWaterKg * factor,
  };
}
