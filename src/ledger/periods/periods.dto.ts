import { OmitType } from '@nestjs/swagger';
import { ListOf } from '../../platform/openapi/list-of.js';
import { PageQuery } from '../../platform/pagination.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import {
  IsDateOnly,
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPattern,
  IsPlainText,
} from '../../platform/validation/fields.js';
import type { FilingDays } from './filing-days.js';
import { filingDays, keepUntil } from './filing-days.js';
import { inWords, lastDayOf, monthEndOutside } from './period-days.js';
import { dayAt } from './period-edges.js';
import type { PeriodRow } from './period.reader.js';
import type { PeriodDays } from './period-days.js';
import type { ProducerSettings } from '../../tenancy/producers/producers.dto.js';

const SHA256 = /^[0-9a-f]{64}$/;
const MONTH = /^(19|20|21)\d{2}-(0[1-9]|1[0-2])$/;
const QUARTER = /^(19|20|21)\d{2}-Q[1-4]$/;

export class NewPeriod {
  @IsId({ description: 'Periods belong to premises; their days are those of its time zone.' })
  premisesId: string;

  @Optional()
  @IsPattern(
    MONTH,
    'a month such as 2026-10',
    { max: 7 },
    { description: 'The whole month. Give this, or `quarter`, or the two days.', example: '2026-10' },
  )
  month?: string;

  @Optional()
  @IsPattern(
    QUARTER,
    'a quarter such as 2026-Q4',
    { max: 7 },
    { description: 'The whole quarter of the calendar year, January to March being the first.' },
  )
  quarter?: string;

  @Optional()
  @IsDateOnly({ description: 'First day inside; with `endsBefore`.' })
  startsOn?: string;

  @Optional()
  @IsDateOnly({ description: 'The day after the last one inside: 1 November for a period that ends on 31 October.' })
  endsBefore?: string;
}

const PERIOD_STATES = ['open', 'closed', 'withdrawn'] as const;

export class PeriodQuery extends PageQuery {
  @Optional()
  @IsId({ description: 'Only those of these premises.' })
  premisesId?: string;

  @Optional()
  @IsOneOf(PERIOD_STATES, {
    description: 'Only those in this state.',
  })
  state?: (typeof PERIOD_STATES)[number];
}

export class FrozenReport {
  @IsPattern(SHA256, 'a SHA-256 hash', { max: 64 }, { description: 'SHA-256 of the frozen bytes.' })
  hash: string;

  @IsInstant()
  closedAt: string;
}

export const PERIOD_FLAGS = ['month-end-outside'] as const;

/** A remark on a period that is no reason to refuse it. */
export class PeriodFlag {
  @IsOneOf(PERIOD_FLAGS, { description: '`month-end-outside`: the last day of a month was given as `endsBefore`.' })
  code: (typeof PERIOD_FLAGS)[number];

  @IsPlainText({ max: 400 })
  detail: string;
}

const FILING_STATES = ['not-due', 'due', 'overdue', 'filed', 'amended'] as const;
export type FilingState = (typeof FILING_STATES)[number];

export class Period extends OmitType(NewPeriod, ['month', 'quarter', 'startsOn', 'endsBefore'] as const) {
  @IsId()
  id: string;

  @IsDateOnly({ description: 'First day inside.', example: '2026-10-01' })
  startsOn: string;

  @IsDateOnly({ description: 'The day after the last one inside.', example: '2026-11-01' })
  endsBefore: string;

  @IsDateOnly({ description: 'Last day inside.', example: '2026-10-31' })
  lastDay: string;

  @IsPlainText({ max: 80 }, { example: '1 October 2026 to 31 October 2026, both days included' })
  inWords: string;

  @IsInstant({ description: 'First moment of the period.' })
  startsAt: string;

  @IsInstant({ description: 'First moment after the period.' })
  endsAt: string;

  @IsPlainText({ max: 60 })
  timeZone: string;

  @IsOneOf(['open', 'closed', 'withdrawn'], {
    description: '`withdrawn`: it was empty and was taken back; its days are free for another.',
  })
  state: 'open' | 'closed' | 'withdrawn';

  @Optional()
  @Nested(() => FrozenReport)
  report?: FrozenReport;

  @Optional()
  @IsDateOnly({ description: 'By when its report is filed, by the producer’s calendar; left out without one.' })
  dueOn?: string;

  @Optional()
  @IsDateOnly({ description: 'By when its duty is paid, by the same calendar.' })
  payableOn?: string;

  @IsOneOf(FILING_STATES, {
    description:
      '`not-due`: it has not ended, or was withdrawn. `due`: it has ended and is not filed. `overdue`: the day for it has passed. `filed`, `amended`: see `GET /v1/periods/{id}/filings`.',
  })
  filing: FilingState;

  @Optional()
  @IsDateOnly({ description: 'Day of the latest filing.' })
  filedOn?: string;

  @IsDateOnly({
    description:
      'Last day on which its records are kept at the least: the setting `retentionYears` after its last day. Local law decides.',
  })
  keepUntil: string;

  @IsFlag({ description: 'Its report is the last one of the premises, which were closed down.' })
  lastReport: boolean;

  @NestedList(() => PeriodFlag, { max: PERIOD_FLAGS.length })
  flags: PeriodFlag[];
}

export class PeriodPage extends ListOf(Period) {}

const stateOf = ({ withdrawn, reportId }: PeriodRow): Period['state'] => {
  if (withdrawn) {
    return 'withdrawn';
  }
  return reportId === null ? 'open' : 'closed';
};

function flagsOf(row: PeriodRow): PeriodFlag[] {
  const detail = stateOf(row) === 'open' ? monthEndOutside(row) : undefined;
  return detail === undefined ? [] : [{ code: 'month-end-outside', detail }];
}

/** Moment and settings by which the days of a period are told. */
export interface PeriodContext {
  readonly now: Date;
  readonly settings: Pick<ProducerSettings, 'filingCalendar' | 'retentionYears'>;
}

/** Days of filing and payment by the calendar, if there is one. */
export const daysOfFiling = (days: PeriodDays, { filingCalendar }: PeriodContext['settings']): Partial<FilingDays> =>
  filingCalendar === undefined ? {} : (filingDays(days, filingCalendar) ?? {});

function filingOf(row: PeriodRow, dueOn: string | undefined, now: Date): FilingState {
  if (row.filings > 0) {
    return row.filings > 1 ? 'amended' : 'filed';
  }
  if (row.withdrawn || now < row.endsAt) {
    return 'not-due';
  }
  return dueOn !== undefined && dayAt(now, row.timeZone) > dueOn ? 'overdue' : 'due';
}

export function toPeriod(row: PeriodRow, { now, settings }: PeriodContext): Period {
  const days = daysOfFiling(row, settings);
  return {
    id: row.id,
    premisesId: row.premisesId,
    startsOn: row.startsOn,
    endsBefore: row.endsBefore,
    lastDay: lastDayOf(row),
    inWords: inWords(row),
    startsAt: row.startsAt.toISOString(),
    endsAt: row.endsAt.toISOString(),
    timeZone: row.timeZone,
    state: stateOf(row),
    ...(row.reportHash === null || row.closedAt === null
      ? {}
      : { report: { hash: row.reportHash, closedAt: row.closedAt.toISOString() } }),
    ...days,
    filing: filingOf(row, days.dueOn, now),
    ...(row.filedOn === null ? {} : { filedOn: row.filedOn }),
    keepUntil: keepUntil(row, settings.retentionYears),
    lastReport: row.lastReport,
    flags: flagsOf(row),
  };
}
