import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import { IsFlag, IsId, IsOneOf, IsPlainText } from '../../../platform/validation/fields.js';
import { LONGEST_TEXT } from '../readings/reading-kinds.js';
import { STRIKE_REASONS } from '../../../tenancy/reasons/reason-codes.js';
import { Reading, Replacement, StruckReading } from '../readings/readings.dto.js';
import { Finding } from './findings.dto.js';

export class NewReadingCorrection {
  @IsOneOf(STRIKE_REASONS, { example: 'misread' })
  reasonCode: string;

  @Nested(() => Replacement, { description: 'The reading as it should have been entered.' })
  replacement: Replacement;

  @Optional()
  @IsFlag({ description: 'true answers the same with 200 and stores nothing.' })
  dryRun?: boolean;

  @Optional()
  @IsId({ description: 'Who corrects it.' })
  personId?: string;

  @Optional()
  @IsPlainText(
    { max: LONGEST_TEXT, multiline: true },
    { description: 'Kept outside the audit trail, which holds a salted hash of it.' },
  )
  note?: string;
}

export class ReadingCorrectionResult extends StruckReading {
  @IsFlag({ description: 'true where nothing was stored.' })
  dryRun: boolean;

  @Nested(() => Reading, { description: 'The reading that was entered instead.' })
  declare replacement: Reading;

  @NestedList(
    () => Finding,
    { max: 100 },
    {
      description:
        'Every finding that counted and rested on the reading, found again by the same method and dated now. `restatement` says what follows.',
    },
  )
  findings: Finding[];
}
