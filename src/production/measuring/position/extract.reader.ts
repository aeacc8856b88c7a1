import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { extractOfLot, GravityReadings } from './gravity-readings.js';
import type { CompositionPosition } from './lot-position.js';
import { PositionReader } from './position.reader.js';
import { findingNow } from './vessel-draw.js';

/** Extract assumed for a liquid, °P. */
export interface KnownExtract {
  readonly plato: number;
  readonly warnings: readonly string[];
}

/** Finds the extract by which a liquid weighs: real extract of its finding, else what its latest gravity shows. */
@Injectable()
export class ExtractReader {
  constructor(
    private readonly positions: PositionReader,
    private readonly gravities: GravityReadings,
  ) {}

  async of(tx: Tx, producerId: string, target: CompositionPosition): Promise<KnownExtract> {
    const finding = findingNow(target);
    if (finding !== undefined) {
      return { plato: finding.realExtractPlato ?? 0, warnings: [] };
    }
    const { lotId, lotCode } = target.composition;
    const position = await this.positions.ofLot(tx, producerId, lotId);
    const apparent = extractOfLot(position, await this.gravities.ofLot(tx, producerId, lotId));
    const unfound = `No strength was found for lot ${lotCode} yet, so the books hold no alcohol that it may have fermented. If it ferments already, enter a finding first: POST /v1/lots/{id}/findings.`;
    return apparent === undefined
      ? { plato: 0, warnings: [unfound, `Lot ${lotCode} has no gravity: it is taken to weigh like water.`] }
      : { plato: apparent, warnings: [unfound] };
  }
}
