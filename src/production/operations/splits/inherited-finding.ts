import type { Row } from '../../../tenancy/producer-database/batch.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';

/** A part that was split off has the strength of what it came from: the finding again, for the new composition, naming the original. */
export const SPLIT = { id: 'split', version: '1.0.0' } as const;

const PLACES = 12;

export const inheritedFindingRow = (
  facts: {
    readonly id: string;
    readonly lotId: string;
    readonly compositionId: string;
    readonly operationId: string;
    readonly sampledAt: Date;
  },
  original: FindingRow,
): Row => ({
  id: facts.id,
  lot_id: facts.lotId,
  composition_id: facts.compositionId,
  standing: original.standing,
  restates: null,
  method_id: SPLIT.id,
  method_version: SPLIT.version,
  strength_percent: original.strengthPercent.toFixed(PLACES),
  standard_uncertainty: original.standardUncertainty.toFixed(PLACES),
  coverage_factor: original.coverageFactor.toFixed(PLACES),
  expanded_uncertainty: original.expandedUncertainty.toFixed(PLACES),
  degrees_of_freedom: original.degreesOfFreedom?.toFixed(6) ?? null,
  real_extract_plato: original.realExtractPlato?.toFixed(PLACES) ?? null,
  density_kg_m3: null,
  budget: original.budget.map((line) => ({ ...line })),
  inputs: { original: original.id, method: { id: original.methodId, version: original.methodVersion } },
  warnings: [...original.warnings],
  sampled_at: facts.sampledAt.toISOString(),
  operation_id: facts.operationId,
});
