import { ListOf } from '../../platform/openapi/list-of.js';
import { PageQuery } from '../../platform/pagination.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { IsDateOnly, IsId, IsInstant, IsOneOf, IsPattern, IsPlainText } from '../../platform/validation/fields.js';
import type { PeriodRow } from './period.reader.js';

const SHA256 = /^[0-9a-f]{64}$/;

export class NewPeriod {
  @IsId({ description: 'Periods belong to premises; their days are those of its time zone.' })
  premisesId: string;

  @IsDateOnly({ description: 'First day.', example: '2026-03-01' })
  startsOn: string;

  @IsDateOnly({ description: 'The day after the last one.', example: '2026-04-01' })
  endsBefore: string;
}

export class PeriodQuery extends PageQuery {
  @Optional()
  @IsId({ description: 'Only those of these premises.' })
  premisesId?: string;
}

export class FrozenReport {
  @IsPattern(SHA256, 'a SHA-256 hash', { max: 64 }, { description: 'SHA-256 of the frozen bytes.' })
  hash: string;

  @IsInstant()
  closedAt: string;
}

export class Period extends NewPeriod {
  @IsId()
  id: string;

  @IsInstant({ description: 'First moment of the period.' })
  startsAt: string;

  @IsInstant({ description: 'First moment after the period.' })
  endsAt: string;

  @IsPlainText({ max: 60 })
  timeZone: string;

  @IsOneOf(['open', 'closed'])
  state: 'open' | 'closed';

  @Optional()
  @Nested(() => FrozenReport)
  report?: FrozenReport;
}

export class PeriodPage extends ListOf(Period) {}

export const toPeriod = (row: PeriodRow): Period => ({
  id: row.id,
  premisesId: row.premisesId,
  startsOn: row.startsOn,
  endsBefore: row.endsBefore,
  startsAt: row.startsAt.toISOString(),
  endsAt: row.endsAt.toISOString(),
  timeZone: row.timeZone,
  state: row.reportId === null ? 'open' : 'closed',
  ...(row.reportHash === null || row.closedAt === null
    ? {}
    : { report: { hash: row.reportHash, closedAt: row.closedAt.toISOString() } }),
});
