import { disagreement, joinFindings } from '../../../alcoholometry/strength/joined-findings.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { malformed, missingReference } from '../../shared/references.js';
import { METHODS } from '../finding-records/finding-kinds.js';
import type { Standing } from '../finding-records/finding-kinds.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import type { Computed } from './computed.js';
import type { NewFinding } from './findings.dto.js';

const MEASURED: readonly string[] = METHODS.filter((method) => method !== 'joined');

/** Findings that a joined one rests on: those named, else the latest of each method. */
function membersOf(ids: readonly string[] | undefined, findings: readonly FindingRow[]): FindingRow[] {
  const standing = findings.filter(({ methodId, reversed }) => MEASURED.includes(methodId) && !reversed);
  if (ids === undefined) {
    return [...new Map(standing.map((finding) => [finding.methodId, finding])).values()];
  }
  return [...new Set(ids)].map((id, index) => {
    const pointer = `/findingIds/${index}`;
    const finding = findings.find((each) => each.id === id);
    if (finding === undefined) throw missingReference(pointer);
    if (standing.includes(finding)) return finding;
    throw new ProblemException('method-not-applicable', 'The finding was reversed, or was not measured itself.', {
      errors: [{ pointer, rule: 'not-measured', detail: 'Join findings that were measured and still count.' }],
    });
  });
}

/** Joins findings of a composition in one, by generalised least squares. */
export function fromFindings(body: NewFinding, findings: readonly FindingRow[]): Computed {
  const members = membersOf(body.findingIds, findings);
  if (members.length < 2) {
    throw malformed({
      pointer: '/findingIds',
      rule: 'findings-needed',
      detail: 'At least two findings by different measurements of this composition are needed.',
    });
  }
  requireApart(members);
  const named = members.map((finding, index) => ({ ...finding, name: nameOf(finding, index, members) }));
  const { found, joined } = joinFindings(
    named.map(({ name, strengthPercent, budget, realExtractPlato }) => ({
      name,
      strengthPercent,
      budget,
      ...(realExtractPlato === null ? {} : { realExtractPlato }),
    })),
  );
  const readings = new Map(members.flatMap((finding) => finding.readings.map((each) => [keyOf(each), each])));
  return {
    found,
    warnings: found.warnings,
    readings: [...readings.values()],
    inputs: {
      findings: joined.members.map((member, index) => ({
        findingId: members[index].id,
        name: member.name,
        strength: { value: members[index].strengthPercent, unit: '%' },
        weight: member.weight,
        deviation: { value: member.deviation, unit: '%' },
        standardUncertaintyOfDeviation: { value: member.standardOfDeviation, unit: '%' },
        en: member.en,
      })),
      consistency: {
        chiSquared: joined.chiSquared,
        degreesOfFreedom: joined.degreesOfFreedom,
        probability: joined.probability,
        consistent: joined.consistent,
        misfit: joined.misfit,
      },
    },
    ...(joined.consistent ? {} : { disagreement: disagreement(joined) }),
  };
}

/** Two findings by one method from the same readings are one measurement. */
function requireApart(members: readonly FindingRow[]): void {
  const seen = new Map<string, number>();
  members.forEach(({ methodId, readings }, index) => {
    const key = [methodId, ...readings.map(keyOf).sort()].join(' ');
    if (readings.length > 0 && seen.has(key)) {
      throw new ProblemException(
        'method-not-applicable',
        'Two of the findings rest on the same readings by one method.',
        {
          errors: [{ pointer: `/findingIds/${index}`, rule: 'same-readings', detail: 'Leave out one of them.' }],
        },
      );
    }
    seen.set(key, index);
  });
}

const keyOf = ({ readingId, use }: FindingRow['readings'][number]): string => `${readingId} ${use}`;

/** The method in words, with the number of the finding where two of the members are of one method. */
function nameOf({ methodId }: FindingRow, index: number, members: readonly FindingRow[]): string {
  const name = NAMES[methodId] ?? methodId;
  return members.filter((each) => each.methodId === methodId).length > 1 ? `${name} (no. ${index + 1})` : name;
}

const NAMES: Readonly<Record<string, string>> = {
  'mass-balance': 'The mass balance',
  'gravity-drop-table': 'The gravity drop table',
  'alcohol-density': 'The density',
  alcoholometer: 'The alcoholometer',
  certificate: 'The certificate',
};

/** @throws ProblemException `readings-disagree` where findings that do not agree would be of record */
export function requireAgreement({ disagreement: detail }: Computed, standing: Standing): void {
  if (detail === undefined || standing !== 'of-record') return;
  throw new ProblemException('readings-disagree', detail, {
    errors: [
      {
        pointer: '/findingIds',
        rule: 'findings-disagree',
        detail: 'Measure again, or leave out the finding that does not fit. Supporting, it is stored as it is.',
      },
    ],
  });
}
