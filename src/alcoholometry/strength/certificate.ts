import { requireInRange } from '../../metrology/problem.js';
import { propagate, type InputQuantity } from '../../metrology/uncertainty.js';
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
  /** of this certificate alone */
  readonly origin?: string;
  /**
   * The laboratory, where it is known: its certificates share half of the variance. Without it nothing is shared.
   */
  readonly laboratory?: string;
}

/** Part of a certificate's variance that a laboratory repeats in each (s_L² of ISO 5725-2); a stated default, no source. */
const LABORATORY_SHARE = 0.5;

const SMALLEST_COVERAGE_FACTOR = 1e-3;

/**
 * Strength, % vol at 20 °C, from a laboratory's certificate; u = U / k (JCGM 100 4.3.3). Value, *U* and *k* stay as stated. Half of the variance
 * is the laboratory's, the rest the certificate's own, so that the difference of two certificates keeps an uncertainty.
 * Range: strength 0–100 % vol, U 0–100 % vol, k above 0 to 20. Stated error: the certificate's.
 * @throws MetrologyError out of range: a coverage factor of zero has no meaning, a negative *U* neither.
 */
export function certificate(input: CertificateInput): StrengthFinding {
  const { strengthPercent, expandedUncertainty, coverageFactor, origin = 'certificate', laboratory } = input;
  const { degreesOfFreedom } = input;
  requireInRange('strength', strengthPercent, 0, 100, '%');
  requireInRange('expandedUncertainty', expandedUncertainty, 0, 100, '%');
  requireInRange('coverageFactor', coverageFactor, SMALLEST_COVERAGE_FACTOR, 20);
  const standard = expandedUncertainty / coverageFactor;
  const line = (name: string, share: number, of: string): InputQuantity => ({
    name,
    value: strengthPercent,
    standardUncertainty: standard * Math.sqrt(share),
    origin: of,
    unit: '%',
  });
  const lines =
    laboratory === undefined
      ? [line('certificate', 1, origin)]
      : [
          line('certificate, laboratory', LABORATORY_SHARE, `laboratory/${laboratory}`),
          line('certificate, repeatability', 1 - LABORATORY_SHARE, origin),
        ];
  const found = propagate(
    strengthPercent,
    lines,
    lines.map(() => 1),
  );
  return {
    strengthPercent: {
      ...found,
      standard,
      coverageFactor,
      expanded: expandedUncertainty,
      degreesOfFreedom: degreesOfFreedom ?? found.degreesOfFreedom,
    },
    method: CERTIFICATE,
    warnings: expandedUncertainty === 0 ? ['The certificate states an uncertainty of zero; no method has that.'] : [],
  };
}
