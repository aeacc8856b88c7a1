import type { Gravity } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { Quantity } from '../../../metrology/units.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { DayQuery } from '../../../platform/pagination.js';
import { Field, Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
} from '../../../platform/validation/fields.js';
import { oneOfRule } from '../../../platform/validation/text-rules.js';
import { STRIKE_REASONS } from '../../../tenancy/reasons/reason-codes.js';
import { exactGravityRule } from '../../shared/exact-gravity.js';
import { READING_DOUBTS, READING_FLAGS } from './reading-flags.js';
import type { ReadingDoubt } from './reading-flags.js';
import type { ReadingKind } from './reading-kinds.js';
import { anyQuantity, LONGEST_TEXT, READING_KINDS, TEMPERATURE } from './reading-kinds.js';

export const READING_SOURCES = ['hand', 'sensor'] as const;
export type ReadingSource = (typeof READING_SOURCES)[number];

/** Properties of a reading as it was read. */
class ReadingValues {
  @IsOneOf(READING_KINDS, { example: 'gravity' })
  kind: ReadingKind;

  @Optional()
  @Field(exactGravityRule, { description: 'Of the kind gravity.', example: { value: 1.0095, scale: 'sg-20-20' } })
  gravity?: Gravity;

  @Optional()
  @Field(anyQuantity, {
    description:
      'Of the kinds temperature (−20 to 110 °C), volume (above 0 to 1,000,000 L), dissolved-co2 (0 to 20 g/L), gauge-pressure (−100 to 1000 kPa), strength (0 to 100 % as shown by an alcoholometer) and density (750 to 1300 kg/m3).',
  })
  quantity?: Quantity;

  @Optional()
  @IsDecimalNumber({ min: 0, max: 14, maxDecimals: 6 }, { description: 'Of the kind ph.' })
  value?: number;

  @Optional()
  @IsPlainText(
    { max: LONGEST_TEXT, multiline: true },
    { description: 'Of the kind text; kept outside the audit trail, which holds a salted hash of it.' },
  )
  text?: string;

  @Optional()
  @IsQuantityOf('temperature', TEMPERATURE, {
    description:
      'Of the sample when it was read; unknown if it is left out. Kept in °C: from °F by (F − 32) × 5/9, half-even to 4 places.',
    example: { value: 23, unit: 'Cel' },
  })
  sampleTemperature?: Quantity;

  @Optional()
  @IsFlag({ description: 'Whether the sample had been freed of CO₂; unknown if it is left out.' })
  degassed?: boolean;

  @Optional()
  @IsId({ description: 'What it was read on; unknown if it is left out.' })
  instrumentId?: string;

  @Optional()
  @IsId({ description: 'Who read it; unknown if it is left out.' })
  personId?: string;

  @Optional()
  @IsId({ description: 'Where the sample came from; unknown if it is left out.' })
  vesselId?: string;

  @Optional()
  @IsInstant({ description: 'Now if it is left out; at most five minutes ahead.' })
  takenAt?: string;

  @Optional()
  @IsOneOf(READING_SOURCES, { description: '`hand` if it is left out.' })
  source?: ReadingSource;
}

export class NewReading extends ReadingValues {
  @Optional()
  @IsListOf(
    oneOfRule(READING_DOUBTS),
    { max: READING_DOUBTS.length, unique: true },
    {
      description:
        'Doubts about the value that were looked at and are right. Such a flag is stored with the key and `personId`, and suggests nothing more.',
      example: ['gravity-rising'],
    },
  )
  confirm?: string[];
}

export class NewConfirmation {
  @IsListOf(
    oneOfRule(READING_DOUBTS),
    { min: 1, max: READING_DOUBTS.length, unique: true },
    { description: 'Doubts of the reading that are right all the same.', example: ['gravity-rising'] },
  )
  confirm: ReadingDoubt[];

  @Optional()
  @IsId({ description: 'Who looked at it.' })
  personId?: string;
}

/** Confirmation of a doubtful value. */
export class FlagConfirmation {
  @IsId({ description: 'The key with which it was entered.' })
  keyId: string;

  @Optional()
  @IsId()
  personId?: string;
}

/** A remark on a reading, or a doubt about its value. */
export class ReadingFlag {
  @IsOneOf([...READING_FLAGS, 'entered-twice'], { example: 'gravity-rising' })
  code: string;

  @IsPlainText({ max: 500 })
  detail: string;

  @Optional()
  @IsPlainText(
    { max: 500 },
    { description: 'Of a doubt that nobody has confirmed: what to check, or what was probably meant.' },
  )
  suggestion?: string;

  @Optional()
  @Nested(() => FlagConfirmation)
  confirmedBy?: FlagConfirmation;
}

export class Replacement extends NewReading {
  @Optional()
  @IsId({ description: 'Where it belongs when the struck one stood in the wrong lot; the same lot if it is left out.' })
  lotId?: string;

  @Optional()
  @IsInstant({ description: 'The time of the struck reading if it is left out.' })
  declare takenAt?: string;
}

export class NewStrike {
  @IsOneOf(STRIKE_REASONS, { example: 'misread' })
  reasonCode: string;

  @Optional()
  @IsPlainText(
    { max: LONGEST_TEXT, multiline: true },
    { description: 'Kept outside the audit trail, which holds a salted hash of it.' },
  )
  note?: string;

  @Optional()
  @Nested(() => Replacement, { description: 'The reading as it should have been entered.' })
  replacement?: Replacement;
}

export class ReadingQuery extends DayQuery {
  @Optional()
  @IsOneOf(READING_KINDS, { description: 'Only those of this kind.' })
  kind?: ReadingKind;

  @Optional()
  @IsId({ description: 'Only those of liquid in this vessel.' })
  vesselId?: string;
}

/** That a reading is struck, and why. */
export class ReadingStrike {
  @IsOneOf(STRIKE_REASONS)
  reasonCode: string;

  @Optional()
  @IsPlainText({ max: LONGEST_TEXT, multiline: true })
  note?: string;

  @Optional()
  @IsId({ description: 'The reading that was entered instead.' })
  replacedBy?: string;

  @Optional()
  @IsInstant({ description: 'Absent in the answer to the strike itself.' })
  recordedAt?: string;
}

export class Reading extends ReadingValues {
  @IsId()
  id: string;

  @IsId()
  lotId: string;

  @Optional()
  @IsId({ description: 'The composition that the lot was at that moment; absent when there was none, or several.' })
  compositionId?: string;

  @IsOneOf(READING_SOURCES)
  declare source: ReadingSource;

  @IsInstant()
  declare takenAt: string;

  @NestedList(() => ReadingFlag, { max: READING_FLAGS.length + 1 })
  flags: ReadingFlag[];

  @Optional()
  @IsInstant({ description: 'Absent in the answer to the entry itself.' })
  recordedAt?: string;

  @Optional()
  @Nested(() => ReadingStrike, { description: 'Present when the reading is struck; nothing is deleted.' })
  struck?: ReadingStrike;
}

export class ReadingPage extends ListOf(Reading) {}

export class StruckReading {
  @Nested(() => Reading, { description: 'The struck reading.' })
  reading: Reading;

  @Optional()
  @Nested(() => Reading, { description: 'The reading that was entered instead.' })
  replacement?: Reading;
}
