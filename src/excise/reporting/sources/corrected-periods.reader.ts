import { Injectable } from '@nestjs/common';
import type { CorrectionRow } from '../../../ledger/corrections/posted-operation.reader.js';
import { PostedOperationReader } from '../../../ledger/corrections/posted-operation.reader.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../../ledger/periods/period.reader.js';
import { FindingReader } from '../../../production/measuring/finding-records/finding.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { RuleSetReader } from '../../duty/rule-sets/rule-set.reader.js';
import type { EarlierPeriodDuty } from '../documents/earlier-periods.dto.js';
import { CorrectedPeriodReader } from './corrected-period.reader.js';
import type { CorrectedPeriod } from './report-input.js';

/** Changes since a report that may change the duty of periods before it. */
interface Changes {
  readonly entries: readonly CorrectionRow[];
  readonly restated: ReadonlySet<string>;
  /** First day on which a rule set that was entered since is in force, YYYY-MM-DD. */
  readonly rulesFrom: string | undefined;
}

/** Reads the closed periods whose duty may have changed since the last report. */
@Injectable()
export class CorrectedPeriodsReader {
  constructor(
    private readonly periods: PeriodReader,
    private readonly operations: PostedOperationReader,
    private readonly findings: FindingReader,
    private readonly ruleSets: RuleSetReader,
    private readonly each: CorrectedPeriodReader,
  ) {}

  /** Of the premises of a period, those before it; nothing where none is closed yet. Queries grow with the periods that were corrected, not with the postings. */
  async before(tx: Tx, producerId: string, period: PeriodRow): Promise<CorrectedPeriod[]> {
    const closed = await this.periods.closedBefore(tx, producerId, period);
    const last = closed.at(-1);
    if (last === undefined) return [];
    const changes = await this.#since(tx, producerId, last, closed, period.endsAt);
    const touched = closed.filter((each) => causesOf(each, changes).length > 0);
    if (touched.length === 0) return [];
    const declared = await this.#declared(tx, producerId, closed);
    const found: CorrectedPeriod[] = [];
    for (const each of touched) {
      found.push({
        ...(await this.each.of(tx, producerId, each, period.endsAt)),
        since: declared.filter(({ periodId }) => periodId === each.id),
        entries: changes.entries.filter(({ earlierPeriodId }) => earlierPeriodId === each.id),
        causes: causesOf(each, changes),
      });
    }
    return found;
  }

  async #since(
    tx: Tx,
    producerId: string,
    last: PeriodRow,
    closed: readonly PeriodRow[],
    until: Date,
  ): Promise<Changes> {
    const after = last.reportHeadSequence ?? 0n;
    const span = { premisesId: last.premisesId, startsAt: last.endsAt, endsAt: until };
    const compositions = await this.findings.compositionsFoundAfter(tx, producerId, after);
    return {
      entries: await this.operations.correctionsIn(tx, producerId, span),
      restated: await this.each.withReleasesOf(tx, producerId, closed, compositions),
      rulesFrom: await this.ruleSets.firstDayOfThoseMadeAfter(tx, producerId, last.closedAt ?? new Date(0)),
    };
  }

  /** Duty that later reports declared of earlier periods, in the order of those reports. */
  async #declared(tx: Tx, producerId: string, closed: readonly PeriodRow[]): Promise<EarlierPeriodDuty[]> {
    const parts = await this.periods.reportValues(
      tx,
      producerId,
      closed.map(({ id }) => id),
      ['duty', 'earlierPeriods'],
    );
    return closed.flatMap(({ id }) => (parts.get(id) ?? []) as EarlierPeriodDuty[]);
  }
}

function causesOf({ id, endsBefore }: PeriodRow, { entries, restated, rulesFrom }: Changes): CorrectedPeriod['causes'] {
  return [
    ...(entries.some(({ earlierPeriodId }) => earlierPeriodId === id) ? (['entries'] as const) : []),
    ...(restated.has(id) ? (['strengths'] as const) : []),
    ...(rulesFrom !== undefined && rulesFrom < endsBefore ? (['rules'] as const) : []),
  ];
}
