import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Standing } from '../finding-records/finding-kinds.js';
import type { FindingFacts } from '../finding-records/finding.rows.js';
import { isInProcess } from '../position/lot-position.js';
import type { Computed } from './computed.js';
import type { FindingRead } from './finding-inputs.reader.js';
import { refractometerRefusal } from '../readings/refractometer.rules.js';
import type { Finding, NewFinding } from './findings.dto.js';
import { toFinding } from './findings.dto.js';

/** A finding about to be written, as it will be read. */
export function newFinding(facts: FindingFacts, { found, readings }: Computed): Finding {
  const { strengthPercent: strength } = found;
  return toFinding({
    ...facts,
    restates: facts.restates ?? null,
    operationId: facts.operationId ?? null,
    reversed: false,
    methodId: found.method.id,
    methodVersion: found.method.version,
    strengthPercent: strength.value,
    standardUncertainty: strength.standard,
    coverageFactor: strength.coverageFactor,
    expandedUncertainty: strength.expanded,
    degreesOfFreedom: strength.degreesOfFreedom,
    realExtractPlato: found.realExtractPlato ?? null,
    budget: strength.budget,
    readings: [...readings].sort(byUse),
  });
}

type Used = Computed['readings'][number];

/** The order in which a stored finding answers its readings: the original gravity before the final one. */
const byUse = (a: Used, b: Used): number =>
  a.use === b.use ? (a.readingId < b.readingId ? -1 : 1) : a.use > b.use ? -1 : 1;

/**
 * Refuses a method that does not apply to the composition. After a dilution, a blend or a start from spirit the original gravity says
 * nothing of the strength; sugar added during fermentation changes it.
 *
 * @throws ProblemException `method-not-applicable`; `conflict` for a provisional finding of a finished composition
 */
export function requireApplicable(body: NewFinding, standing: Standing, read: FindingRead): void {
  const { target, originalGravityApplies, basis } = read;
  const byGravity = body.method === 'mass-balance' || body.method === 'gravity-drop-table';
  if (byGravity && basis.final?.instrumentKind === 'refractometer') {
    throw refractometerRefusal('/finalReadingId', 'The final gravity was read with a refractometer.');
  }
  if (body.method === 'gravity-drop-table' && originalGravityApplies && (basis.additions ?? []).length > 0) {
    throw new ProblemException(
      'method-not-applicable',
      'Sugar was added: the drop of the readings is not that of one wort.',
      {
        errors: [{ pointer: '/method', rule: 'sugar-added', detail: 'Use mass-balance, a density or a certificate.' }],
      },
    );
  }
  if (byGravity && !originalGravityApplies) {
    throw new ProblemException(
      'method-not-applicable',
      'The original gravity no longer applies: this composition was diluted, blended or made from spirit.',
      {
        errors: [
          {
            pointer: '/method',
            rule: 'method-not-applicable',
            detail: 'Use a density, an alcoholometer or a certificate.',
          },
        ],
      },
    );
  }
  if (standing === 'provisional' && !isInProcess(target)) {
    throw new ProblemException('conflict', 'The composition is finished: it has a finding of record already.', {
      errors: [{ pointer: '/standing', rule: 'finished', detail: 'Use supporting, or of-record to restate it.' }],
      members: { finding: target.ofRecord?.id },
    });
  }
}
