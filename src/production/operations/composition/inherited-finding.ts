import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';

/** A part that was split off has the strength of what it came from: the finding again, for the new composition, naming the original. */
const SPLIT = { id: 'split', version: '1.0.0' } as const;

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
): RowOf<'finding'> => ({
  id: facts.id,
  lotId: facts.lotId,
  compositionId: facts.compositionId,
  standing: original.standing,
  restates: null,
  methodId: SPLIT.id,
  methodVersion: SPLIT.version,
  strengthPercent: original.strengthPercent.toFixed(PLACES),
  standardUncertainty: original.standardUncertainty.toFixed(PLACES),
  coverageFactor: original.coverageFactor.toFixed(PLACES),
  expandedUncertainty: original.expandedUncertainty.toFixed(PLACES),
  degreesOfFreedom: original.degreesOfFreedom?.toFixed(6) ?? null,
  realExtractPlato: original.realExtractPlato?.toFixed(PLACES) ?? null,
  densityKgM3: null,
  budget: original.budget.map((line) => ({ ...line })),
  inputs: { original: original.id, method: { id: original.methodId, version: original.methodVersion } },
  warnings: [...original.warnings],
  sampledAt: facts.sampledAt.toISOString(),
  operationId: facts.operationId,
});
