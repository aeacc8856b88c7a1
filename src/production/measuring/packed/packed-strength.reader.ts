import { Injectable } from '@nestjs/common';
import { grouped } from '../../../platform/grouped.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { FindingReader, ofRecordOf } from '../finding-records/finding.reader.js';
import type { PackagedLotRow } from './packaged-lot.reader.js';
import type { PackedStrength } from './packed-strength.js';
import { packedStrength } from './packed-strength.js';

/** Reads the strength of packed goods as it is of record now. */
@Injectable()
export class PackedStrengthReader {
  constructor(private readonly findings: FindingReader) {}

  /** By packaged lot; none where no finding of record stands. */
  async of(tx: Tx, producerId: string, rows: readonly PackagedLotRow[]): Promise<Map<string, PackedStrength>> {
    const ids = [...new Set(rows.map(({ compositionId }) => compositionId))];
    const findings = grouped(await this.findings.ofCompositions(tx, producerId, ids), (each) => each.compositionId);
    return new Map(
      rows.flatMap(({ id, compositionId, filledWith }) => {
        const finding = ofRecordOf(findings.get(compositionId) ?? []);
        return finding === undefined ? [] : [[id, packedStrength(finding, filledWith)] as const];
      }),
    );
  }
}
