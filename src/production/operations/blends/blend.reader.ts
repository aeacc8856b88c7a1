import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ExtractReader } from '../../measuring/position/extract.reader.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { receivingLot } from '../../lots/receiving-lot.js';
import { referenced } from '../../shared/references.js';
import type { BlendFacts, BlendRead, StandingComponent } from './blend-mix.js';

/** Reads what a blend rests on: the lot, the vessels and what stands in them. */
@Injectable()
export class BlendReader {
  constructor(
    private readonly positions: PositionReader,
    private readonly extracts: ExtractReader,
  ) {}

  async read(tx: Tx, producerId: string, lotId: string, body: BlendFacts): Promise<BlendRead> {
    const lot = await receivingLot(tx, producerId, lotId, '/lotId');
    const vessel = await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    const components: StandingComponent[] = [];
    for (const [index, { vesselId }] of body.components.entries()) {
      const { premisesId } = await referenced(tx, producerId, 'vessel', vesselId, `/components/${index}/vesselId`);
      const target = await this.positions.inVessel(tx, producerId, vesselId);
      const extract =
        target === undefined ? { plato: 0, warnings: [] } : await this.extracts.of(tx, producerId, target);
      components.push({ target, extract, premisesId });
    }
    return {
      lot,
      vesselPremisesId: vessel.premisesId,
      standing: await this.positions.inVessel(tx, producerId, body.vesselId),
      components,
    };
  }
}
