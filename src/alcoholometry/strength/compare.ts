import { MetrologyError } from '../../metrology/problem.js';
import { combineComponents, componentsByOrigin } from '../../metrology/uncertainty.js';
import type { StrengthFinding } from './finding.js';

/** Comparison of two findings of one composition. */
export interface Comparison {
  /** first less second, % vol */
  readonly differencePercent: number;
  /** of the difference, % vol, at k = 2 */
  readonly expandedUncertainty: number;
  /** |difference| over its expanded uncertainty */
  readonly normalisedError: number;
  readonly agree: boolean;
  readonly statement: string;
}

const COVERAGE_FACTOR = 2;

/**
 * Normalised error of two findings of the same composition: E_n = |x₁ − x₂| / U(x₁ − x₂), k = 2; they agree where it is at most 1.
 *
 * Contributions that the two share by origin (one hydrometer, one certificate) cancel in the difference. Source: ISO/IEC 17043 (E_n
 * numbers, there for independent results; from memory), JCGM 100 5.2 for the shared part.
 * @throws MetrologyError `contradictory` where the results differ and neither has an uncertainty.
 */
export function compareFindings(first: StrengthFinding, second: StrengthFinding): Comparison {
  const [a, b] = [first.strengthPercent, second.strengthPercent];
  const negated = new Map([...componentsByOrigin(b.budget)].map(([origin, c]) => [origin, -c]));
  const { standard } = combineComponents(componentsByOrigin(a.budget), negated);
  const differencePercent = a.value - b.value;
  const expandedUncertainty = COVERAGE_FACTOR * standard;
  if (expandedUncertainty === 0 && differencePercent !== 0) {
    throw new MetrologyError('contradictory', 'The results differ, and neither has an uncertainty of its own.', {
      pointer: 'findings',
    });
  }
  const normalisedError = differencePercent === 0 ? 0 : Math.abs(differencePercent) / expandedUncertainty;
  const agree = normalisedError <= 1;
  const by = `${Math.abs(differencePercent).toFixed(2)} % vol against ${expandedUncertainty.toFixed(2)} % vol (E_n ${normalisedError.toFixed(2)})`;
  const names = `${first.method.id} and ${second.method.id}`;
  const statement = agree
    ? `${names} agree within their uncertainty: they differ by ${by}. That does not make either better than its own uncertainty.`
    : `${names} disagree: they differ by ${by}. One of the readings, or what is assumed of the liquid, is wrong.`;
  return { differencePercent, expandedUncertainty, normalisedError, agree, statement };
}
