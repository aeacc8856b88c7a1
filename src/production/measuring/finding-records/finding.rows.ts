import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { Row } from '../../../tenancy/producer-database/batch.js';
import type { Standing } from './finding-kinds.js';

export interface FindingFacts {
  readonly id: string;
  readonly lotId: string;
  readonly compositionId: string;
  readonly standing: Standing;
  readonly restates?: string;
  readonly operationId?: string;
  readonly sampledAt: Date;
  /** What went in, as read. */
  readonly inputs: Row;
  readonly warnings: readonly string[];
}

const PLACES = 12;
const text = (value: number): string => value.toFixed(PLACES);

/** The row of a finding as `post` takes it. */
export function findingRow(facts: FindingFacts, found: StrengthFinding): Row {
  const { strengthPercent: strength } = found;
  return {
    id: facts.id,
    lot_id: facts.lotId,
    composition_id: facts.compositionId,
    standing: facts.standing,
    restates: facts.restates ?? null,
    method_id: found.method.id,
    method_version: found.method.version,
    strength_percent: text(strength.value),
    standard_uncertainty: text(strength.standard),
    coverage_factor: text(strength.coverageFactor),
    expanded_uncertainty: text(strength.expanded),
    degrees_of_freedom: strength.degreesOfFreedom === null ? null : strength.degreesOfFreedom.toFixed(6),
    real_extract_plato: found.realExtractPlato === undefined ? null : text(found.realExtractPlato),
    density_kg_m3: null,
    budget: strength.budget.map((line) => ({ ...line })),
    inputs: facts.inputs,
    warnings: [...facts.warnings],
    sampled_at: facts.sampledAt.toISOString(),
    operation_id: facts.operationId ?? null,
  };
}
