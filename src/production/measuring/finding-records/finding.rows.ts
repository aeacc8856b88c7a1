import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { Facts, RowOf } from '../../../tenancy/producer-database/batch.js';
import type { Standing } from './finding-kinds.js';

export interface FindingFacts {
  readonly id: string;
  readonly lotId: string;
  readonly compositionId: string;
  readonly standing: Standing;
  readonly restates?: string;
  readonly operationId?: string;
  readonly sampledAt: Date;
  /** Inputs of the method, as they were read. */
  readonly inputs: Facts;
  readonly warnings: readonly string[];
}

const PLACES = 12;
const text = (value: number): string => value.toFixed(PLACES);

/** The row of a finding as `post` takes it. */
export function findingRow(facts: FindingFacts, found: StrengthFinding): RowOf<'finding'> {
  const { strengthPercent: strength } = found;
  return {
    id: facts.id,
    lotId: facts.lotId,
    compositionId: facts.compositionId,
    standing: facts.standing,
    restates: facts.restates ?? null,
    methodId: found.method.id,
    methodVersion: found.method.version,
    strengthPercent: text(strength.value),
    standardUncertainty: text(strength.standard),
    coverageFactor: text(strength.coverageFactor),
    expandedUncertainty: text(strength.expanded),
    degreesOfFreedom: strength.degreesOfFreedom === null ? null : strength.degreesOfFreedom.toFixed(6),
    realExtractPlato: found.realExtractPlato === undefined ? null : text(found.realExtractPlato),
    densityKgM3: null,
    budget: strength.budget.map((line) => ({ ...line })),
    inputs: facts.inputs,
    warnings: [...facts.warnings],
    sampledAt: facts.sampledAt.toISOString(),
    operationId: facts.operationId ?? null,
  };
}
