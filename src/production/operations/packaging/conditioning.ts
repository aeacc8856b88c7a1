import { alcoholFromSugar } from '../../../alcoholometry/carbonation/conditioning-sugar.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { componentOf } from '../../../ledger/books/components.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBase } from '../../../metrology/units.js';
import { malformed } from '../../shared/references.js';
import type { ConditioningAnswer, PackageConditioning } from './conditioning.dto.js';

export interface Conditioned {
  /** No litres: containers hold what is on their label. */
  readonly amount: Amount;
  readonly components: Components;
  readonly strengthAddedPercent: number;
  readonly standardUncertaintyPercent: number;
  readonly answer: ConditioningAnswer;
  readonly warnings: readonly string[];
}

/** Yeast growth takes up to a tenth of what stoichiometry gives, so that the true yield lies within 0.9 to 1 of it: taken as ± 0.1, rectangular. */
const YIELD_RELATIVE_U = 0.1 / Math.sqrt(3);

/** Alcohol and gas that sugar makes in the closed containers of a run. @param origin of the uncertainty of its yield */
export function conditionInPackage(
  { sugar, gramsPerLitre, highestTemperature, volumesBefore }: PackageConditioning,
  litres: Decimal,
  origin: string,
): Conditioned {
  if (highestTemperature !== undefined && volumesBefore !== undefined) {
    const detail =
      'The CO₂ in the drink before follows from its highest temperature: give highestTemperature or volumesBefore, not both.';
    throw malformed({ pointer: '/conditioning/volumesBefore', rule: 'contradictory', detail });
  }
  const made = alcoholFromSugar({
    sugar,
    gramsPerLitre,
    volumeL: litres.toNumber(),
    volumesBefore,
    ...(highestTemperature === undefined ? {} : { highestTemperatureC: toBase('temperature', highestTemperature) }),
  });
  const alcohol = toPlaces6HalfEven(new Exact(made.pureAlcoholL));
  const strengthAddedPercent = alcohol.dividedBy(litres).times(100).toNumber();
  return {
    amount: amount(0, alcohol),
    components: new Map([[origin, { litres: new Exact(0), lpa: componentOf(YIELD_RELATIVE_U * made.pureAlcoholL) }]]),
    strengthAddedPercent,
    standardUncertaintyPercent: YIELD_RELATIVE_U * strengthAddedPercent,
    answer: {
      pureAlcohol: { value: alcohol.toNumber(), unit: 'L' },
      strengthAdded: { value: strengthAddedPercent, unit: '%' },
      volumesOfCO2: made.volumesOfCO2,
      volumesFromSugar: made.volumesFromSugar,
      volumesBefore: made.volumesBefore,
    },
    warnings: made.warnings,
  };
}
