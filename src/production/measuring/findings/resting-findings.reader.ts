import { Injectable } from '@nestjs/common';
import type { ExtractFree } from '../../../alcoholometry/strength/extract-free.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { Method } from '../finding-records/finding-kinds.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import { FindingReader, latestProvisionalOf, ofRecordOf } from '../finding-records/finding.reader.js';
import type { NewFinding } from './findings.dto.js';

/** Reads the findings that rest on a reading and still count. */
@Injectable()
export class RestingFindings {
  constructor(private readonly findings: FindingReader) {}

  /** Of each composition the one that counts: of record, or else the latest provisional one; supporting ones as well. Oldest first. */
  async on(tx: Tx, producerId: string, readingId: string): Promise<FindingRow[]> {
    const rows = await tx.$queryRaw<{ compositionId: string }[]>`
      SELECT DISTINCT f.composition_id AS "compositionId"
        FROM finding_reading r JOIN finding f ON f.producer_id = r.producer_id AND f.id = r.finding_id
       WHERE r.producer_id = ${producerId}::uuid AND r.reading_id = ${readingId}::uuid`;
    const ids = rows.map(({ compositionId }) => compositionId);
    const all = await this.findings.ofCompositions(tx, producerId, ids);
    return ids
      .flatMap((id) => counting(all.filter(({ compositionId }) => compositionId === id)))
      .filter(({ readings }) => readings.some((each) => each.readingId === readingId))
      .sort((a, b) => (a.id < b.id ? -1 : 1));
  }
}

/** The finding that counts, and the latest supporting one of each method. */
function counting(findings: readonly FindingRow[]): FindingRow[] {
  const main = ofRecordOf(findings) ?? latestProvisionalOf(findings);
  const supporting = new Map(
    findings.filter(({ standing }) => standing === 'supporting').map((each) => [each.methodId, each]),
  );
  return [...(main === undefined ? [] : [main]), ...supporting.values()];
}

/** The request that would make a finding again, with one of its readings replaced by another. */
export function foundAgain(finding: FindingRow, replaced: { readonly from: string; readonly to: string }): NewFinding {
  const readingOf = (...uses: readonly string[]): string | undefined => {
    const id = finding.readings.find(({ use }) => uses.includes(use))?.readingId;
    return id === replaced.from ? replaced.to : id;
  };
  const basis = finding.inputs.basis as ExtractFree | null | undefined;
  return {
    method: finding.methodId as Method,
    standing: finding.standing,
    compositionId: finding.compositionId,
    originalReadingId: readingOf('original'),
    finalReadingId: readingOf('final'),
    readingId: readingOf('density', 'alcoholometer'),
    ...(basis == null ? {} : { basis: basisOf(basis) }),
  };
}

const basisOf = (basis: ExtractFree): NonNullable<NewFinding['basis']> =>
  basis.kind === 'distilled'
    ? { kind: 'distilled' }
    : {
        kind: 'no-solids-added',
        residue: { value: basis.residueGPerL, unit: 'g/L' },
        residueStandardUncertainty: { value: basis.residueStandardUncertaintyGPerL, unit: 'g/L' },
      };
