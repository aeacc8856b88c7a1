import { assessConformity } from '../../../metrology/conformity.js';
import type { LabelSettings, LabelTolerance } from '../../shared/labels/label-tolerance.js';
import { labelToleranceOf } from '../../shared/labels/label-tolerance.js';
import type { PackedStrength } from './packed-strength.js';

export const LABEL_DOUBTS = ['label-does-not-hold', 'label-in-doubt'] as const;

/** Doubt about the strength that a label declares. */
export interface LabelDoubt {
  readonly code: (typeof LABEL_DOUBTS)[number];
  readonly detail: string;
  /** That the true strength lies within the tolerance of the label, 0 to 1. */
  readonly probability: number;
}

const percent = (value: number): string => `${value.toFixed(2)} %`;

const toleranceText = ({ below, above }: LabelTolerance): string => {
  if (below === above && below !== undefined) return percent(below);
  const sides = [
    ...(below === undefined ? [] : [`${percent(below)} below`]),
    ...(above === undefined ? [] : [`${percent(above)} above`]),
  ];
  return sides.join(' and ');
};

/**
 * The one rule for the label of packed goods: it does not hold where the strength of record lies outside the producer's tolerance, and is in doubt where
 * the strength lies inside but its uncertainty does not let one tell.
 *
 * @returns undefined where the label conforms
 */
export function labelDoubt(
  strength: PackedStrength,
  declaredPercent: number,
  settings: LabelSettings,
): LabelDoubt | undefined {
  const tolerance = labelToleranceOf(settings);
  const { decision, probability, toleranceInterval } = assessConformity({
    measured: strength.strengthPercent,
    standardUncertainty: Math.max(strength.standardUncertainty, 1e-9),
    declared: declaredPercent,
    tolerance,
    allowedRisk: settings.allowedRisk,
  });
  if (decision === 'conforms') {
    return undefined;
  }
  const found = `${percent(strength.strengthPercent)} ± ${percent(strength.expandedUncertainty)} vol`;
  const label = `the label says ${percent(declaredPercent)}`;
  const difference = strength.strengthPercent - declaredPercent;
  const { lower, upper } = toleranceInterval;
  const isOutside =
    (lower !== null && strength.strengthPercent < lower) || (upper !== null && strength.strengthPercent > upper);
  return isOutside
    ? {
        code: 'label-does-not-hold',
        detail: `The strength of record is ${found}, and ${label}: ${percent(Math.abs(difference))} vol ${difference < 0 ? 'less' : 'more'}, beyond the tolerance of ${toleranceText(tolerance)}. Label the goods anew, or keep them back, as local law asks.`,
        probability,
      }
    : {
        code: 'label-in-doubt',
        detail: `The strength of record is ${found}, and ${label}. Within that uncertainty it may lie beyond the tolerance of ${toleranceText(tolerance)}. Measure again, or by a better method.`,
        probability,
      };
}
