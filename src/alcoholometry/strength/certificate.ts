import { requireInRange } from '../../metrology/problem.js';
import { propagate } from '../../metrology/uncertainty.js';
import type { MethodDescriptor, StrengthFinding } from './finding.js';

const CERTIFICATE: MethodDescriptor = {
  id: 'certificate',
  version: '1.0.0',
  source: 'a laboratory certificate: value, expanded uncertainty and coverage factor as stated',
};

interface CertificateInput {
  /** % vol at 20 °C, 0–100 */
  readonly strengthPercent: number;
  /** % vol, as stated */
  readonly expandedUncertainty: number;
  /** as stated, usually 2; above 0, at most 20 */
  readonly coverageFactor: number;
  readonly degreesOfFreedom?: number;
  /** the laboratory and its method: certificates that share it share their error */
  readonly origin?: string;
}

const SMALLEST_COVERAGE_FACTOR = 1e-3;

/**
 * Strength, % vol at 20 °C, from a laboratory's certificate; u = U / k (JCGM 100 4.3.3). Value, *U* and *k* stay as stated.
 * Range: strength 0–100 % vol, U 0–100 % vol, k above 0 to 20. Stated error: the certificate's.
 * @throws MetrologyError out of range: a coverage factor of zero has no meaning, a negative *U* neither.
 */
export function certificate(input: CertificateInput): StrengthFinding {
  const { strengthPercent, expandedUncertainty, coverageFactor, degreesOfFreedom, origin = 'certificate' } = input;
  requireInRange('strength', strengthPercent, 0, 100, '%');
  requireInRange('expandedUncertainty', expandedUncertainty, 0, 100, '%');
  requireInRange('coverageFactor', coverageFactor, SMALLEST_COVERAGE_FACTOR, 20);
  const line = {
    name: 'certificate',
    value: strengthPercent,
    standardUncertainty: expandedUncertainty / coverageFactor,
    degreesOfFreedom,
    origin,
    unit: '%',
  };
  const found = propagate(strengthPercent, [line], [1]);
  return {
    strengthPercent: { ...found, coverageFactor, expanded: expandedUncertainty },
    method: CERTIFICATE,
    warnings: expandedUncertainty === 0 ? ['The certificate states an uncertainty of zero; no method has that.'] : [],
  };
}
