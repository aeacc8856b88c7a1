import { Nested, Optional } from '../../platform/validation/field.js';
import { IsPlainText, IsWholeNumber } from '../../platform/validation/fields.js';
import { FilingCalendar } from './filing-calendar.dto.js';
import { ProductionYearSettings } from './production-year.dto.js';

/** Settings for what is handed to the authority: who the producer is, and by when it files. */
export class ReturnSettings {
  @Optional()
  @IsPlainText(
    { max: 200 },
    { description: 'Name by which the authority knows the producer.', example: 'Mill Lane Drinks Ltd (invented)' },
  )
  legalName?: string;

  @Optional()
  @IsPlainText({ max: 400, multiline: true }, { example: '1 Mill Lane, Sampleton (invented)' })
  address?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Number under which duty is paid.', example: 'TAX-0001' })
  taxNumber?: string;

  @Optional()
  @Nested(() => FilingCalendar, { description: 'Without it no day is reckoned on which a report is due.' })
  filingCalendar?: FilingCalendar;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: 365 },
    { description: 'Days ahead from which a report that is due is announced; 7 if left out.', example: 7 },
  )
  filingNoticeDays?: number;

  @Optional()
  @Nested(() => ProductionYearSettings, { description: 'How the production by year is counted.' })
  productionYear?: ProductionYearSettings;
}
