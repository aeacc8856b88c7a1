import type { Amount } from '../../../ledger/books/amount.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { mapped, rootSumSquare } from '../../../ledger/books/components.js';
import { assessConformity } from '../../../metrology/conformity.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import type { LabelCheck } from './label-check.dto.js';
import type { LabelSettings } from './label-tolerance.js';
import { labelToleranceOf } from './label-tolerance.js';

/** Components of the uncertainty of the strength alone: those of the alcohol without those of the volume. */
const strengthVector = (amount: Amount, components: Components): Components => {
  const strength = new Exact(bookStrengthPercent(amount) ?? 0).dividedBy(100);
  return mapped(components, ({ litres, lpa }) => ({ litres, lpa: lpa.minus(litres.times(strength)) }));
};

/** Standard uncertainty of the strength that an amount of the books implies, % vol; the amount has litres. */
export const strengthUncertaintyPercent = (amount: Amount, components: Components): number =>
  (100 * rootSumSquare(strengthVector(amount, components), 'lpa')) / amount.litres.toNumber();

/** A strength with its standard uncertainty, % vol. */
export interface KnownStrength {
  readonly strengthPercent: number;
  readonly standardUncertainty: number;
}

/** The strength that an amount of the books implies. */
export const bookStrength = (amount: Amount, components: Components): KnownStrength => ({
  strengthPercent: bookStrengthPercent(amount) ?? 0,
  standardUncertainty: strengthUncertaintyPercent(amount, components),
});

/** Limits are decimals: the sum of declared strength and tolerance is freed of its rounding. */
const percent = (value: number): Quantity => ({ value: Number(value.toFixed(9)), unit: '%' });

/** Conformity of a strength with a label, within the producer's tolerance. The result is shown; the producer decides. */
export function checkLabel(
  { strengthPercent: measured, standardUncertainty }: KnownStrength,
  declared: number,
  settings: LabelSettings,
): LabelCheck {
  const tolerance = labelToleranceOf(settings);
  const { decision, probability, toleranceInterval } = assessConformity({
    measured,
    standardUncertainty: Math.max(standardUncertainty, 1e-9),
    declared,
    tolerance,
    allowedRisk: settings.allowedRisk,
  });
  return {
    decision,
    probability,
    measured: { value: measured, unit: '%' },
    ...(tolerance.below === undefined || tolerance.below !== tolerance.above
      ? {}
      : { tolerance: percent(tolerance.below) }),
    ...(toleranceInterval.lower === null ? {} : { lowest: percent(toleranceInterval.lower) }),
    ...(toleranceInterval.upper === null ? {} : { highest: percent(toleranceInterval.upper) }),
  };
}
