import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { REPORT_LINES } from '../../../ledger/figures/report-lines.js';
import { STAGES } from '../../../ledger/figures/stages.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsOneOf, IsPlainText } from '../../../platform/validation/fields.js';
import { CONTAINERS } from '../../../production/operations/packaging/packaging.dto.js';

/** Lines of the report, with stock at both ends of the period and what passed between stages. */
export const REPORT_FIGURES = [
  'stock-at-start',
  'stock-at-end',
  'packed-in',
  'packed-out',
  'repacked-in',
  'repacked-out',
  'unpacked-in',
  'unpacked-out',
  'moved-in',
  'moved-out',
  ...REPORT_LINES,
] as const;
export type ReportFigureName = (typeof REPORT_FIGURES)[number];

export const DUTY_STATUSES = ['suspended', 'paid'] as const;

/** One figure of the report, taken apart as far as a return asks for it. */
export class ReportFigure {
  @IsOneOf(REPORT_FIGURES, {
    description:
      'A line of the report as its effect on stock, stock at the start or the end, or what came from other stages (`-in`) and went to them (`-out`): by packing runs, by packing again, by opening containers into a vessel, and by other work.',
  })
  figure: ReportFigureName;

  @IsPlainText({ max: 120 })
  category: string;

  @IsOneOf(STAGES, {
    description:
      '`keg`: packed in kegs or casks; `packed`: in other containers; `racking` and `bottling`: the run that fills the one or the other.',
  })
  stage: (typeof STAGES)[number];

  @IsOneOf(DUTY_STATUSES)
  dutyStatus: (typeof DUTY_STATUSES)[number];

  @IsOneOf(['in', 'out'], { description: 'Sign of the net effect of each event on stock.' })
  direction: 'in' | 'out';

  @Optional()
  @IsOneOf(CONTAINERS, { description: 'Of what is packed, and of what a run took from the vessel.' })
  container?: string;

  @ApiPropertyOptional({ type: Litres, description: 'Nominal volume of one container.' })
  nominalVolume?: Litres;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;
}
