import { Injectable } from '@nestjs/common';
import type { Instrument } from '../../../generated/prisma/client.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { dateOf } from '../../shared/local-day.js';
import { findRow } from '../../shared/references.js';
import type { CalibrationOn, ValueRead } from './calibration-rules.js';
import { calibrationOf } from './calibration-rules.js';
import { calibrationRecord } from './calibrations.dto.js';

/** Reads instruments and their calibrations for all other features. */
@Injectable()
export class InstrumentReader {
  async row(tx: Tx, producerId: string, id: string): Promise<Instrument | undefined> {
    return findRow(tx, producerId, 'instrument', { id });
  }

  /**
   * Correction and uncertainty of a value, by the instrument's latest calibration up to a day.
   *
   * @param on the day at the premises, as in 2026-03-01
   */
  async calibrationOn(
    tx: Tx,
    producerId: string,
    instrumentId: string,
    on: string,
    read: ValueRead,
  ): Promise<CalibrationOn> {
    const latest = await tx.row(
      'calibration',
      { producerId, instrumentId, performedOn: { lte: dateOf(on) } },
      {
        orderBy: [
          ['performedOn', 'desc'],
          ['id', 'desc'],
        ],
      },
    );
    return calibrationOf(latest === undefined ? [] : [calibrationRecord(latest)], on, read);
  }
}
