import { Injectable } from '@nestjs/common';
import type { MaterialLot } from '../../../generated/prisma/client.js';
import { bookStrengthPercent, NOTHING } from '../../../ledger/books/amount.js';
import { NO_COMPONENTS, volumeComponents } from '../../../ledger/books/components.js';
import { MomentReader } from '../../../ledger/books/moment.reader.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { BearingLots } from '../../../production/operations/material-lots/bearing-lots.js';
import { measuredComponents } from '../../../production/measuring/position/measured-components.js';
import { measuredVolume } from '../../../production/measuring/volumes/measured-volume.js';
import { VesselVolumeReader } from '../../../production/measuring/volumes/vessel-volume.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { MaterialCount } from './counted.js';
import type { BookFigure, Taken } from './book-figure.js';
import { refused, atBookStrength } from './book-figure.js';

/** Reads the book figure of a material lot that contains alcohol, beside the volume found. */
@Injectable()
export class MaterialFigureReader {
  constructor(
    private readonly moments: MomentReader,
    private readonly volumes: VesselVolumeReader,
    private readonly bearing: BearingLots,
  ) {}

  async of(tx: Tx, producerId: string, count: MaterialCount, taken: Taken, place: string): Promise<BookFigure> {
    const pointer = `${place}/materialLotId`;
    const { lot, account: now } = await this.bearing.of(tx, producerId, count.materialLotId, pointer);
    if (now.account.premisesId !== taken.premisesId) {
      throw refused(pointer, 'other-premises', 'The material lot stands on other premises.');
    }
    const calibration = await this.volumes.calibration(tx, producerId, taken.premisesId, count, taken.at, place);
    const [account] = await this.moments.asOf(tx, producerId, [now], taken.at);
    const standing = account.balance.litres.isZero()
      ? await this.#received(tx, producerId, lot, now, taken.at)
      : account;
    if (standing === undefined) {
      throw refused(pointer, 'never-there', 'It had not come in then, or that was reversed.');
    }
    const subject = { category: 'materials', materialLotId: lot.id };
    if (count.volume.value === 0) {
      return { account, subject, found: NOTHING, foundComponents: NO_COMPONENTS };
    }
    // Nothing says what a flavouring has dissolved; it expands as alcohol and water of its strength do.
    const liquid = {
      kind: 'drink',
      strengthPercent: bookStrengthPercent(standing.balance) ?? 0,
      extractPlato: 0,
    } as const;
    const scale = calibration?.origin ?? `material-lot/${lot.id}`;
    const measured = measuredVolume(count, liquid, calibration, { scale, reading: taken.origin });
    const found = atBookStrength(standing.balance, measured.litres);
    return {
      account,
      subject,
      found,
      foundComponents: measuredComponents(standing, found, volumeComponents(measured.byOrigin)),
    };
  }

  /** The material lot as it came in: the strength of what turns up when the books have none left. */
  async #received(
    tx: Tx,
    producerId: string,
    lot: MaterialLot,
    now: StockAccount,
    at: Date,
  ): Promise<StockAccount | undefined> {
    const [{ reversed }] = await tx.$queryRaw<{ reversed: boolean }[]>`
      SELECT is_reversed(${producerId}::uuid, ${lot.operationId}::uuid) AS reversed`;
    if (reversed || lot.receivedAt > at) {
      return undefined;
    }
    const [received] = await this.moments.asOf(tx, producerId, [now], lot.receivedAt);
    return received.balance.litres.isZero() ? undefined : received;
  }
}
