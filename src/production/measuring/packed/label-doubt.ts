import { assessConformity } from '../../../metrology/conformity.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
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

/**
 * The one rule for the label of packed goods: it does not hold where the strength of record lies outside the producer's tolerance, and is in doubt where
 * the strength lies inside but its uncertainty does not let one tell.
 *
 * @returns undefined where the label conforms
 */
export function labelDoubt(
  strength: PackedStrength,
  declaredPercent: number,
  settings: Pick<ProducerSettings, 'labelTolerance' | 'allowedRisk'>,
): LabelDoubt | undefined {
  const tolerance = settings.labelTolerance.value;
  const { decision, probability } = assessConformity({
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
  return Math.abs(difference) > tolerance
    ? {
        code: 'label-does-not-hold',
        detail: `The strength of record is ${found}, and ${label}: ${percent(Math.abs(difference))} vol ${difference < 0 ? 'less' : 'more'}, beyond the tolerance of ${percent(tolerance)}. Label the goods anew, or keep them back, as local law asks.`,
        probability,
      }
    : {
        code: 'label-in-doubt',
        detail: `The strength of record is ${found}, and ${label}. Within that uncertainty it may lie beyond the tolerance of ${percent(tolerance)}. Measure again, or by a better method.`,
        probability,
      };
}
