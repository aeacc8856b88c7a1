import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { NOMINAL_KINDS } from '../../../ledger/books/account.js';
import { Figures, Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';

import { DutyChanges } from '../documents/earlier-periods.dto.js';

const LINK = { max: 200 };

/** A correction of a closed period, as it was made later. */
export class ChangingOperation {
  @IsId()
  id: string;

  @IsWholeNumber({ min: 1, max: Number.MAX_SAFE_INTEGER })
  sequence: number;

  @IsPlainText({ max: 40 })
  kind: string;

  @IsInstant()
  occurredAt: string;

  @IsInstant()
  recordedAt: string;

  @Optional()
  @IsId()
  reverses?: string;

  @Optional()
  @IsId()
  corrects?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @IsFlag({ description: 'It was reversed itself, so it does not count.' })
  reversed: boolean;

  @ApiProperty({ type: Litres, description: 'Effect on stock.' })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;

  @IsPlainText(LINK)
  operation: string;
}

/** A figure as it was frozen, the change, and what it would be. */
export class ChangedFigure {
  @ApiProperty({ type: Figures })
  frozen: Figures;

  @ApiProperty({ type: Figures })
  change: Figures;

  @ApiProperty({ type: Figures })
  corrected: Figures;
}

export class ChangedLine extends ChangedFigure {
  @IsOneOf(NOMINAL_KINDS, {
    description: 'earlier-period: of a difference entry, which does not tell its lines apart.',
  })
  line: string;
}

export class ChangedCategory extends ChangedFigure {
  @IsPlainText({ max: 120 })
  category: string;
}

export class ChangedDuty {
  @ApiProperty({ type: Litres })
  frozen: Litres;

  @ApiProperty({ type: Litres })
  change: Litres;

  @ApiProperty({ type: Litres })
  corrected: Litres;
}

/** Changes that later corrections make to the figures of a closed report. The report itself does not change. */
export class PeriodChanges {
  @IsId()
  periodId: string;

  @IsOneOf(['open', 'closed'], {
    description: 'Of an open period nothing is frozen: its report still follows the books.',
  })
  state: 'open' | 'closed';

  @Optional()
  @IsPattern(/^[0-9a-f]{64}$/, 'a SHA-256 hash', { max: 64 }, { description: 'Of the frozen report.' })
  reportHash?: string;

  @Optional()
  @IsInstant()
  closedAt?: string;

  @IsFlag({ description: 'No correction touches it.' })
  unchanged: boolean;

  @ApiProperty({ type: [ChangingOperation] })
  operations: ChangingOperation[];

  @ApiProperty({ type: [ChangedLine], description: 'Lines that would change.' })
  lines: ChangedLine[];

  @ApiProperty({ type: [ChangedCategory], description: 'Closing by category, where it would change.' })
  categories: ChangedCategory[];

  @ApiPropertyOptional({ type: ChangedFigure })
  closing?: ChangedFigure;

  @ApiPropertyOptional({
    type: ChangedDuty,
    description: 'Litres of pure alcohol for duty, by the strength for duty of each movement.',
  })
  litresOfPureAlcoholForDuty?: ChangedDuty;

  @ApiPropertyOptional({
    type: DutyChanges,
    description: 'Duty by the rules as they are now, beside what was declared.',
  })
  duty?: DutyChanges;

  @IsPlainText(LINK)
  report: string;
}
