import type { Quantity } from '../../../metrology/units.js';
import type { FindingRow } from '../finding-records/finding.reader.js';

/** Part of a run that did not come from the vessel, as the document of the run keeps it: sugar that ferments in the containers. */
export interface FilledWith {
  /** Litres of the vessel's liquid in a hundred litres of what the containers hold. */
  readonly vesselShare: Quantity;
  /** Added to the strength, % vol, with its standard uncertainty. */
  readonly strengthAdded: Quantity;
  readonly standardUncertainty: Quantity;
}

/** Strength of what containers hold, % vol at 20 °C. */
export interface PackedStrength {
  readonly strengthPercent: number;
  readonly standardUncertainty: number;
  readonly expandedUncertainty: number;
}

/**
 * The one strength of packed goods: the finding of record of the liquid that was filled, with what the run added to it. A strength that is found
 * again later therefore reaches the containers too. Uncertainties are independent; the coverage factor is the finding's.
 */
export function packedStrength(
  finding: Pick<FindingRow, 'strengthPercent' | 'standardUncertainty' | 'expandedUncertainty' | 'coverageFactor'>,
  filledWith: FilledWith | null,
): PackedStrength {
  if (filledWith === null) {
    const { strengthPercent, standardUncertainty, expandedUncertainty } = finding;
    return { strengthPercent, standardUncertainty, expandedUncertainty };
  }
  const share = filledWith.vesselShare.value / 100;
  const standardUncertainty = Math.hypot(share * finding.standardUncertainty, filledWith.standardUncertainty.value);
  return {
    strengthPercent: share * finding.strengthPercent + filledWith.strengthAdded.value,
    standardUncertainty,
    expandedUncertainty: finding.coverageFactor * standardUncertainty,
  };
}
