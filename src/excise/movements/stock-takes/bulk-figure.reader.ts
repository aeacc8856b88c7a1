import { Injectable } from '@nestjs/common';
import { NOTHING } from '../../../ledger/books/amount.js';
import { NO_COMPONENTS, volumeComponents } from '../../../ledger/books/components.js';
import { MomentReader } from '../../../ledger/books/moment.reader.js';
import { extractOfLot, GravityReadings } from '../../../production/measuring/position/gravity-readings.js';
import { measuredComponents } from '../../../production/measuring/position/measured-components.js';
import { VesselVolumeReader } from '../../../production/measuring/volumes/vessel-volume.reader.js';
import { liquidOf } from '../../../production/measuring/position/lot-position.js';
import { PositionReader } from '../../../production/measuring/position/position.reader.js';
import { referenced } from '../../../production/shared/references.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { BulkCount } from './counted.js';
import type { BookFigure, Taken } from './book-figure.js';
import { refused, atBookStrength } from './book-figure.js';

/** Reads the book figure of a lot in a vessel, beside the volume found by dip, sight glass or weight. */
@Injectable()
export class BulkFigureReader {
  constructor(
    private readonly moments: MomentReader,
    private readonly positions: PositionReader,
    private readonly volumes: VesselVolumeReader,
    private readonly gravities: GravityReadings,
  ) {}

  async of(tx: Tx, producerId: string, count: BulkCount, taken: Taken, place: string): Promise<BookFigure> {
    const lot = await referenced(tx, producerId, 'lot', count.lotId, `${place}/lotId`);
    const measure = await this.volumes.measure(tx, producerId, count.vesselId, count, taken.at, place);
    if (measure.vessel.premisesId !== taken.premisesId) {
      throw refused(`${place}/vesselId`, 'other-premises', 'The vessel stands on other premises.');
    }
    const position = await this.positions.ofLot(tx, producerId, lot.id);
    const held = position.compositions.flatMap(({ accounts }) =>
      accounts.filter(({ account }) => account.vesselId === count.vesselId),
    );
    const account = (await this.moments.asOf(tx, producerId, held, taken.at)).find(({ balance }) =>
      balance.litres.greaterThan(0),
    );
    const target = position.compositions.find(({ composition }) => composition.id === account?.account.compositionId);
    if (account === undefined || target === undefined) {
      const detail = 'The books had nothing of this lot in that vessel then; enter how it came there first.';
      throw refused(`${place}/vesselId`, 'nothing-there', detail);
    }
    const subject = { category: position.lot.category, lotId: lot.id, compositionId: target.composition.id };
    if (count.volume.value === 0) {
      return { account, subject, found: NOTHING, foundComponents: NO_COMPONENTS };
    }
    const extract = extractOfLot(position, await this.gravities.ofLot(tx, producerId, lot.id));
    const measured = VesselVolumeReader.litres(count, measure, liquidOf(target, extract ?? 0), taken.origin);
    const found = atBookStrength(account.balance, measured.litres);
    return {
      account,
      subject,
      found,
      foundComponents: measuredComponents(account, found, volumeComponents(measured.byOrigin)),
    };
  }
}
