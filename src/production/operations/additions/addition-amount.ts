import { dose } from '../../../alcoholometry/mixing/dose.js';
import type { Dose } from '../../../alcoholometry/mixing/dose.js';
import type { Liquid, LiquidSpec } from '../../../alcoholometry/liquids/liquid.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';
import { isMassUnit } from '../../shared/mass-or-volume.js';
import { malformed } from '../../shared/references.js';
import type { AdditionDose, NewAddition } from './additions.dto.js';

export type AdditionFacts = Pick<
  NewAddition,
  | 'vesselId'
  | 'purpose'
  | 'materialLotId'
  | 'mass'
  | 'volume'
  | 'dose'
  | 'extract'
  | 'solubleFraction'
  | 'standardUncertainty'
>;

/** Checks the properties of the body against each other. @throws ProblemException `validation-failed` */
export function requireAddable(body: AdditionFacts): void {
  const { mass, volume, dose: given, purpose, materialLotId } = body;
  if ([mass, volume, given].filter((each) => each !== undefined).length !== 1) {
    throw malformed({ pointer: '/mass', rule: 'one-of-three', detail: 'Give one of mass, volume and dose.' });
  }
  if (materialLotId === undefined && purpose !== 'chase-water') {
    throw malformed({
      pointer: '/materialLotId',
      rule: 'required',
      detail: 'Give the material lot that it is taken from; only chase water has none.',
    });
  }
  if (purpose === 'chase-water' && volume === undefined) {
    throw malformed({ pointer: '/volume', rule: 'required', detail: 'Chase water is given by volume.' });
  }
  if (purpose === 'fruit' && mass !== undefined && body.solubleFraction === undefined) {
    throw malformed({
      pointer: '/solubleFraction',
      rule: 'required',
      detail: 'Give the sugar content of the fruit as solubleFraction, % by mass.',
    });
  }
  requireUnitOfAmount(body);
  if ((given?.per === 'bottle') !== (given?.bottle !== undefined)) {
    throw malformed({
      pointer: '/dose/bottle',
      rule: 'bottle',
      detail: 'Give the volume of the bottle with a dose per bottle, and leave it out with any other dose.',
    });
  }
}

function requireUnitOfAmount({ mass, standardUncertainty }: AdditionFacts): void {
  if (standardUncertainty !== undefined && isMassUnit(standardUncertainty.unit) !== (mass !== undefined)) {
    throw malformed({
      pointer: '/standardUncertainty/unit',
      rule: 'unit-of-amount',
      detail: 'Give the uncertainty of a mass in a unit of mass, that of a volume or a dose in a unit of volume.',
    });
  }
}

/** Litres as given; undefined where a dose says them. */
export const litresGiven = ({ volume }: AdditionFacts): Decimal | undefined =>
  volume === undefined ? undefined : toBookLitres(volume).litres;

export const massGivenKg = ({ mass }: AdditionFacts): number =>
  toBase('mass', mass ?? { value: NaN, unit: 'kg' }, 'mass');

/** Litres that a dose comes to for what is in the vessel, half-even to six places. @throws MetrologyError as `dose` */
export function dosedLitres({ dose: given }: AdditionFacts, base: Liquid, flavouring: LiquidSpec): Decimal {
  if (given === undefined) {
    throw malformed({ pointer: '/volume', rule: 'required', detail: 'Give volume or dose.' });
  }
  const dosed = dose({
    base: { strengthPercent: base.strengthPercent, extractPlato: base.extractPlato },
    flavouring,
    dose: doseOf(given),
    volumeL: base.volumeL,
  });
  return toPlaces6HalfEven(new Exact(dosed.flavouring.volumeL));
}

function doseOf({ per, dose: volume, bottle }: AdditionDose): Dose {
  const doseMl = 1000 * toBase('volume', volume);
  return per === 'bottle'
    ? { per, doseMl, bottleMl: 1000 * toBase('volume', bottle ?? { value: NaN, unit: 'mL' }) }
    : { per, doseMl };
}
