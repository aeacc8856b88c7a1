import {
  ethanolWaterDensityKgM3,
  massFractionFromVolumePercent,
} from '../../../alcoholometry/liquids/ethanol-water.js';
import { densityAt60FKgM3, US_GALLON_L, usProof } from '../../../alcoholometry/hydrometry/us-proof.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { decimalOf, Exact } from '../../../metrology/decimals.js';
import type { Rounded, RoundingBasis } from '../../../metrology/rounding-rules.js';
import { applyRounding } from '../../../metrology/rounding-rules.js';
import type { DutyCategory } from './rule-set.js';
import { groupingOf } from './rule-set.js';

const GALLONS_A_BARREL = 31;

/** Inputs of the quantity of a line. */
export interface Measures {
  /** At 20 °C. */
  readonly litres: Decimal;
  /** For duty, its steps already taken; % vol at 20 °C. */
  readonly strengthPercent: Decimal;
  readonly originalPlato: Decimal | undefined;
}

export interface Quantity {
  /** In the unit of the category, before any step rounds the quantity itself. */
  readonly value: Decimal;
  /** Steps that the measures went through. */
  readonly steps: readonly Rounded[];
  /** Degrees Plato, their steps taken, where the basis counts them and rounds them. */
  readonly degree?: Decimal;
}

/** Takes the line steps of one basis, one after another. */
export function lineSteps(category: DutyCategory, basis: RoundingBasis, raw: Decimal): [Decimal, Rounded[]] {
  const taken: Rounded[] = [];
  let value = raw;
  for (const step of category.rounding ?? []) {
    if (step.basis !== basis || groupingOf(step) !== 'line') continue;
    const each = applyRounding(step, value);
    taken.push(each);
    value = each.rounded;
  }
  return [value, taken];
}

/** True where degrees are rounded, so that a return has a line for each degree. */
const countsDegrees = ({ rounding = [] }: DutyCategory): boolean => rounding.some(({ basis }) => basis === 'plato');

/**
 * Quantity for duty of one line, in the unit of its category. Decimal and exact, but for proof gallons: strength and volume at 60 °F come from
 * OIML R 22 in double precision (extract-free spirit; 0.006 % vol against the US table, see `us-proof`).
 * Returns `undefined` where the basis needs the original °Plato and it is not known.
 *
 * @throws MetrologyError `out-of-range` for a strength outside 0 to 100 % vol
 */
export function quantityOf(category: DutyCategory, measures: Measures): Quantity | undefined {
  const steps: Rounded[] = [];
  const through = (basis: RoundingBasis, raw: Decimal): Decimal => {
    const [value, taken] = lineSteps(category, basis, raw);
    steps.push(...taken);
    return value;
  };
  const litres = through('litres', measures.litres);
  const free = new Exact(category.freeStrength?.value ?? 0);
  const chargeable = Exact.max(0, measures.strengthPercent.minus(free));
  const hectolitres = (): Decimal => through('hectolitres', litres.dividedBy(100));
  switch (category.basis) {
    case 'litre-of-alcohol': {
      const value = litres.times(chargeable).dividedBy(100);
      return { value: category.unit === 'hL' ? value.dividedBy(100) : value, steps };
    }
    case 'hectolitre-percent':
      return { value: hectolitres().times(chargeable), steps };
    case 'barrel-31-us-gallons':
      return { value: through('gallons', litres.dividedBy(US_GALLON_L)).dividedBy(GALLONS_A_BARREL), steps };
    case 'proof-gallon-60f': {
      const massFraction = massFractionFromVolumePercent(measures.strengthPercent.toNumber());
      const proof = through('proof', decimalOf(usProof(massFraction)));
      const expansion = ethanolWaterDensityKgM3(massFraction, 20) / densityAt60FKgM3(massFraction);
      const gallons = through('gallons', litres.times(decimalOf(expansion)).dividedBy(US_GALLON_L));
      return { value: gallons.times(proof).dividedBy(100), steps };
    }
    case 'plato-hectolitre': {
      if (measures.originalPlato === undefined) return undefined;
      const plato = through('plato', measures.originalPlato);
      return { value: hectolitres().times(plato), steps, ...(countsDegrees(category) ? { degree: plato } : {}) };
    }
  }
}
