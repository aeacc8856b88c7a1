import { certificate } from '../../../alcoholometry/strength/certificate.js';
import { rectangular } from '../../../alcoholometry/strength/finding.js';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import { propagate } from '../../../metrology/uncertainty.js';
import type { StatedStrength } from './openings.dto.js';

/** Half-width of a stated strength, % vol. Common practice, no source. */
const STATED_HALF_WIDTH_PERCENT = 0.3;

const STATEMENT = { id: 'opening-statement', version: '1.0.0', source: 'stated by the producer when the books began' };

/** A strength as a finding: by its certificate where there is one, else the producer's word with its uncertainty. */
export function stated(
  entry: StatedStrength,
  compositionId: string,
  realExtractPlato?: number,
): StrengthFinding | undefined {
  const { strength, certificate: paper, strengthStandardUncertainty } = entry;
  if (strength === undefined) {
    return undefined;
  }
  if (paper !== undefined) {
    const found = certificate({
      strengthPercent: strength.value,
      expandedUncertainty: paper.expandedUncertainty.value,
      coverageFactor: paper.coverageFactor,
      origin: `certificate/${paper.number}`,
    });
    return { ...found, realExtractPlato };
  }
  const line = {
    name: 'stated by the producer',
    value: strength.value,
    standardUncertainty: strengthStandardUncertainty?.value ?? rectangular(STATED_HALF_WIDTH_PERCENT),
    distribution: strengthStandardUncertainty === undefined ? ('rectangular' as const) : ('normal' as const),
    origin: `opening/${compositionId}`,
    unit: '%',
  };
  return {
    strengthPercent: propagate(strength.value, [line], [1]),
    method: STATEMENT,
    warnings: line.standardUncertainty === 0 ? ['An uncertainty of zero is stated; no method has that.'] : [],
    realExtractPlato,
  };
}
