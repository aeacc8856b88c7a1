import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../../ledger/periods/period.reader.js';
import { FindingReader } from '../../../production/measuring/finding-records/finding.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { DUTY_POINT_KINDS } from '../../movements/movement-kinds.js';
import { MovementReader } from '../../movements/movement.reader.js';
import { frozenReport } from '../documents/frozen-report.js';
import type { CorrectedPeriod } from './report-input.js';
import { StockNamesReader } from './stock-names.reader.js';

const idsOf = (values: readonly (string | null)[]): string[] => [
  ...new Set(values.filter((value): value is string => value !== null)),
];

/** Reads a closed period as it was declared and as its releases are now. */
@Injectable()
export class CorrectedPeriodReader {
  constructor(
    private readonly periods: PeriodReader,
    private readonly movements: MovementReader,
    private readonly findings: FindingReader,
    private readonly names: StockNamesReader,
  ) {}

  /** @param until corrections at or after this moment belong to a later report */
  async of(
    tx: Tx,
    producerId: string,
    period: PeriodRow,
    until?: Date,
  ): Promise<Pick<CorrectedPeriod, 'period' | 'frozen' | 'movements' | 'names' | 'findings'>> {
    const own = await this.movements.ofSpan(tx, producerId, period, DUTY_POINT_KINDS);
    const corrections = await this.movements.ofEarlierPeriod(tx, producerId, period.id, until, DUTY_POINT_KINDS);
    const movements = [...own.filter(({ earlierPeriodId }) => earlierPeriodId === null), ...corrections];
    const compositions = idsOf(movements.map(({ compositionId }) => compositionId));
    const findings = await this.findings.ofCompositions(tx, producerId, compositions);
    const packagedLots = movements.map(({ packagedLotId }) => packagedLotId);
    return {
      period,
      frozen: frozenReport((await this.periods.reportBytes(tx, producerId, period.id)) ?? notClosed(period)).duty,
      movements,
      names: await this.names.of(tx, producerId, [], packagedLots),
      findings: findings.filter(({ sampledAt }) => sampledAt < period.endsAt),
    };
  }

  /** Those of the periods in which goods of the compositions were released. */
  withReleasesOf(
    tx: Tx,
    producerId: string,
    periods: readonly PeriodRow[],
    compositionIds: readonly string[],
  ): Promise<Set<string>> {
    return this.movements.periodsWith(tx, producerId, periods, compositionIds, DUTY_POINT_KINDS);
  }
}

const notClosed = ({ id }: PeriodRow): never => {
  throw new Error(`Period ${id} has no frozen report.`);
};
