import { Injectable } from '@nestjs/common';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { FindingReader } from '../../../production/measuring/finding-records/finding.reader.js';
import type { ReadingRow } from '../../../production/measuring/readings/reading.reader.js';
import { ReadingReader } from '../../../production/measuring/readings/reading.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Readings and findings of one lot. */
export interface LotMeasurements {
  readonly readings: readonly ReadingRow[];
  readonly findings: readonly FindingRow[];
}

/** Reads the readings and findings of a lot. */
@Injectable()
export class LotMeasurementsReader {
  constructor(
    private readonly readings: ReadingReader,
    private readonly findings: FindingReader,
  ) {}

  async of(tx: Tx, producerId: string, lotId: string, limit: number): Promise<LotMeasurements> {
    return {
      readings: await this.readings.ofLot(tx, producerId, lotId, {}, limit),
      findings: await this.findings.ofLot(tx, producerId, lotId, null, limit),
    };
  }
}
