import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { OpeningReader } from './opening.reader.js';
import type { ReportInput } from './report-input.js';
import type { LossInput } from './unaccounted.reader.js';
import { UnaccountedReader } from './unaccounted.reader.js';

/** Input of a report that goes back to the periods before: the opening, and losses over the periods. */
export type EarlierInput = Pick<ReportInput, 'opening'> & LossInput;

/** Reads what a report takes from the periods before its own. */
@Injectable()
export class EarlierInputReader {
  constructor(
    private readonly opening: OpeningReader,
    private readonly unaccounted: UnaccountedReader,
  ) {}

  async of(tx: Tx, producerId: string, period: PeriodRow): Promise<EarlierInput> {
    return {
      opening: await this.opening.of(tx, producerId, period),
      ...(await this.unaccounted.of(tx, producerId, period)),
    };
  }
}
