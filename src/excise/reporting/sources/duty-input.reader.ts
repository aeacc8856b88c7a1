import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { DUTY_POINT_KINDS } from '../../movements/movement-kinds.js';
import { MovementReader } from '../../movements/movement.reader.js';
import { RuleSetReader } from '../../duty/rule-sets/rule-set.reader.js';
import { StockTakeReader } from '../../movements/stock-takes/stock-take.reader.js';
import { CorrectedPeriodsReader } from './corrected-periods.reader.js';
import type { ReportInput } from './report-input.js';

/** Input of the duty and of the chargeable deficiency. */
export type DutyInput = Pick<
  ReportInput,
  'movements' | 'correctedPeriods' | 'returns' | 'returnedReleases' | 'ruleSets' | 'differences' | 'settings'
>;

/** Reads what was released, what changed of earlier periods, what the stock-takes missed, and the producer's rules. */
@Injectable()
export class DutyInputReader {
  constructor(
    private readonly movements: MovementReader,
    private readonly ruleSets: RuleSetReader,
    private readonly stockTakes: StockTakeReader,
    private readonly settings: SettingsReader,
    private readonly corrected: CorrectedPeriodsReader,
  ) {}

  async of(tx: Tx, producerId: string, period: PeriodRow): Promise<DutyInput> {
    const returns = await this.movements.ofSpan(tx, producerId, period, ['return']);
    const sources = returns.flatMap(({ returnedFrom }) => returnedFrom?.releases ?? []);
    return {
      movements: await this.movements.ofSpan(tx, producerId, period, DUTY_POINT_KINDS),
      returns,
      returnedReleases: await this.movements.ofIds(tx, producerId, [
        ...new Set(sources.map(({ operationId }) => operationId)),
      ]),
      correctedPeriods: await this.corrected.before(tx, producerId, period),
      ruleSets: await this.ruleSets.all(tx, producerId),
      differences: await this.stockTakes.differences(tx, producerId, period),
      settings: await this.settings.of(tx, producerId),
    };
  }
}
