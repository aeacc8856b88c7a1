import { unitsOf } from '../../metrology/units.js';
import type { QuantityLimits } from '../../platform/validation/quantity-rules.js';
import { quantityRule } from '../../platform/validation/quantity-rules.js';
import type { Rule } from '../../platform/validation/rule.js';

const MASS_UNITS = unitsOf('mass');

export const isMassUnit = (unit: unknown): boolean => typeof unit === 'string' && MASS_UNITS.includes(unit);

/** A quantity in a unit of mass or of volume; the limits are in kg for a mass and in L for a volume. */
export function massOrVolumeRule(limits: QuantityLimits): Rule {
  const units = [...MASS_UNITS, ...unitsOf('volume')];
  const mass = quantityRule('mass', limits, units);
  const volume = quantityRule('volume', limits, units);
  return {
    schema: mass.schema,
    check: (value) => (isMassUnit((value as { readonly unit?: unknown } | null)?.unit) ? mass : volume).check(value),
  };
}
