import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { Vessel } from '../../../generated/prisma/client.js';
import { InstrumentReader } from '../../registers/instruments/instrument.reader.js';
import { referenced } from '../../shared/references.js';
import type { Quantity } from '../../../metrology/units.js';
import { localDay } from '../../shared/local-day.js';
import type { CalibrationFact } from './calibration-fact.js';
import { calibrationFact } from './calibration-fact.js';
import type { MeasuredVolume, VesselLiquid } from './measured-volume.js';
import { measuredVolume } from './measured-volume.js';

/** A volume as a request gives it. */
export interface VolumeBody {
  readonly volume: Quantity;
  readonly temperature?: Quantity;
  readonly instrumentId?: string;
  readonly standardUncertainty?: Quantity;
}

/** Facts of the vessel and the instrument by which a reading becomes litres. */
export interface VesselMeasure {
  readonly vessel: Vessel;
  readonly calibration: CalibrationFact | undefined;
}

/** Reads what turns a volume as read into litres at 20 °C. */
@Injectable()
export class VesselVolumeReader {
  constructor(private readonly instruments: InstrumentReader) {}

  /** @param place where in the body the ids stand; @throws ProblemException `not-found` with a pointer */
  async measure(
    tx: Tx,
    producerId: string,
    vesselId: string,
    body: VolumeBody,
    at: Date,
    place = '',
  ): Promise<VesselMeasure> {
    const vessel = await referenced(tx, producerId, 'vessel', vesselId, `${place}/vesselId`);
    return { vessel, calibration: await this.calibration(tx, producerId, vessel.premisesId, body, at, place) };
  }

  /** The record of the instrument on the local day, where one is named. @throws ProblemException `not-found` with a pointer */
  async calibration(
    tx: Tx,
    producerId: string,
    premisesId: string,
    body: VolumeBody,
    at: Date,
    place: string,
  ): Promise<CalibrationFact | undefined> {
    if (body.instrumentId === undefined) {
      return undefined;
    }
    await referenced(tx, producerId, 'instrument', body.instrumentId, `${place}/instrumentId`);
    const premises = await referenced(tx, producerId, 'premises', premisesId, place);
    const found = await this.instruments.calibrationOn(
      tx,
      producerId,
      body.instrumentId,
      localDay(at, premises.timeZone),
      body.volume,
    );
    return calibrationFact(body.instrumentId, found);
  }

  /** Litres at 20 °C of a body's volume; `reading` is the origin of what belongs to this reading alone. */
  static litres(body: VolumeBody, measure: VesselMeasure, liquid: VesselLiquid, reading: string): MeasuredVolume {
    return measuredVolume(body, liquid, measure.calibration, {
      scale: measure.calibration?.origin ?? `vessel/${measure.vessel.id}`,
      reading,
    });
  }
}
