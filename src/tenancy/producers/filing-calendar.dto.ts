import { Nested, Optional } from '../../platform/validation/field.js';
import { IsDateOnly, IsListOf, IsOneOf, IsWholeNumber } from '../../platform/validation/fields.js';
import { dateRule } from '../../platform/validation/instant.js';

const DUE_KINDS = ['day-of-following-month', 'last-day-of-following-month', 'days-after-end'] as const;

/** A rule for a day, counted from the last day of a period. */
export class DueRule {
  @IsOneOf(DUE_KINDS, {
    description:
      '`day-of-following-month`: the day `number` of the month after the period’s last day, the last day where the month is shorter. `last-day-of-following-month`: without `number`. `days-after-end`: `number` days after the period’s last day.',
    example: 'day-of-following-month',
  })
  kind: (typeof DUE_KINDS)[number];

  @Optional()
  @IsWholeNumber({ min: 1, max: 366 }, { description: 'Day of the month, or number of days.', example: 15 })
  number?: number;
}

/** The days by which a period is filed and paid. */
export class FilingCalendar {
  @Nested(() => DueRule, { description: 'When a report is due.' })
  due: DueRule;

  @Optional()
  @Nested(() => DueRule, { description: 'When the duty is payable; with the report if left out.' })
  payment?: DueRule;

  @Optional()
  @IsOneOf(['next', 'previous'], {
    description:
      'Working day to which a day moves that is a Saturday, a Sunday or one of `holidays`; it does not move if left out.',
  })
  workingDay?: 'next' | 'previous';

  @Optional()
  @IsListOf(dateRule, { min: 0, max: 1000 }, { description: 'Further days on which nothing is due.' })
  holidays?: string[];

  @Optional()
  @IsDateOnly({ description: 'Periods that end before this day are not asked for.' })
  from?: string;
}
