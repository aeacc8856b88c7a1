import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { localDay } from '../../production/shared/local-day.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { MovementReader } from './movement.reader.js';

/** Duty date and period of a movement that is corrected: duty falls due at the rate of that day. */
export interface CorrectedDuty {
  readonly period: PeriodRow;
  /** YYYY-MM-DD. */
  readonly dutyDate: string;
}

/** Finds the period of a movement, and that of the movement which it corrects. */
@Injectable()
export class MovementPeriods {
  constructor(
    private readonly periods: PeriodReader,
    private readonly movements: MovementReader,
  ) {}

  /** @throws ProblemException `period-not-open` where no period covers the moment */
  async covering(tx: Tx, producerId: string, premisesId: string, at: Date): Promise<PeriodRow> {
    return (await this.periods.covering(tx, producerId, premisesId, at)) ?? noPeriod(at);
  }

  /** Given for a movement of a closed period, or one that corrects such a movement. */
  async corrected(tx: Tx, producerId: string, id: string | undefined): Promise<CorrectedDuty | undefined> {
    const original = id === undefined ? undefined : await this.movements.row(tx, producerId, id);
    if (original === undefined) return undefined;
    const { premisesId, occurredAt, earlierPeriodId } = original;
    const period =
      earlierPeriodId === null
        ? await this.periods.covering(tx, producerId, premisesId, occurredAt)
        : await this.periods.row(tx, producerId, earlierPeriodId);
    if (period === undefined || period.reportId === null) return undefined;
    return { period, dutyDate: original.dutyDate ?? localDay(occurredAt, period.timeZone) };
  }
}

const noPeriod = (at: Date): never => {
  throw new ProblemException('period-not-open', 'No open period of the premises covers the time.', {
    members: { at: at.toISOString() },
  });
};
