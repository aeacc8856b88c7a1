import { Injectable } from '@nestjs/common';
import { FindingReader, ofRecordOf } from '../../production/measuring/finding-records/finding.reader.js';
import { PackagedLotReader } from '../../production/measuring/packed/packaged-lot.reader.js';
import { packedStrength } from '../../production/measuring/packed/packed-strength.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { RuleSetReader } from '../duty/rule-sets/rule-set.reader.js';
import type { DutyBasisRead } from './duty-strength.js';
import type { MovementSource } from './source.js';

/** Reads what the strength for duty of a movement depends on. */
@Injectable()
export class DutyStrengthReader {
  constructor(
    private readonly ruleSets: RuleSetReader,
    private readonly findings: FindingReader,
    private readonly packagedLots: PackagedLotReader,
  ) {}

  async of(tx: Tx, producerId: string, { subject }: MovementSource): Promise<DutyBasisRead> {
    const { compositionId, packagedLotId } = subject;
    const findings = await this.findings.ofCompositions(
      tx,
      producerId,
      compositionId === undefined ? [] : [compositionId],
    );
    const finding = ofRecordOf(findings);
    const lot = packagedLotId === undefined ? undefined : await this.packagedLots.row(tx, producerId, packagedLotId);
    return {
      ruleSets: await this.ruleSets.all(tx, producerId),
      measured: finding && packedStrength(finding, lot?.filledWith ?? null),
    };
  }
}
