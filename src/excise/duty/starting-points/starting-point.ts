import { percent } from '../rules/rule-set.js';
import type { RuleSet, StrengthBand } from '../rules/rule-set.js';

/** A ready-made rule set to begin from. */
export interface StartingPoint {
  readonly key: string;
  readonly title: string;
  /** Reason why there are no rates, or the limits of those given. */
  readonly rates: string;
  readonly ruleSet: RuleSet;
}

export const NO_RATES = 'The set has no rates: none with its date was at hand. Without rates no money is calculated.';

/** One band for every strength. */
export const ALL_STRENGTHS: readonly StrengthBand[] = [
  { code: 'all', name: 'every strength', fromStrength: percent(0) },
];
