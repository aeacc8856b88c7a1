import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { InBalance } from './balances.dto.js';
import { Figures, Litres, LitresUncertainty } from '../../../ledger/books/litres.dto.js';
import { STAGES } from '../../../ledger/figures/stages.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsFlag, IsId, IsInstant, IsOneOf, IsPlainText, IsWholeNumber } from '../../../platform/validation/fields.js';

export class TieAmount {
  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;

  @ApiProperty({ type: Litres })
  fermented: Litres;

  @ApiProperty({ type: Litres })
  added: Litres;
}

export class TieItem extends TieAmount {
  @IsPlainText({ max: 160 }, { description: 'A stage that gave or received, a line of the report, or other premises.' })
  name: string;

  @ApiPropertyOptional({
    type: LitresUncertainty,
    description: 'Expanded uncertainty, k = 1.959964 (normal distribution, 95 %).',
  })
  expandedUncertainty?: LitresUncertainty;
}

/** Two sides of the books that have to be the same. */
export class ReportTie {
  @IsPlainText(
    { max: 60 },
    {
      description:
        'A kind of work that moved stock from account to account, what was sent to own premises, or what was received from them.',
    },
  )
  name: string;

  @ApiProperty({ type: [TieItem], description: 'Amounts that stages or premises gave.' })
  inputs: TieItem[];

  @ApiProperty({
    type: [TieItem],
    description: 'Amounts that stages or premises received, and the lines of the report that hold the rest.',
  })
  outputs: TieItem[];

  @ApiProperty({ type: TieAmount })
  totalInputs: TieAmount;

  @ApiProperty({ type: TieAmount })
  totalOutputs: TieAmount;

  @ApiProperty({ type: TieAmount, description: 'Outputs less inputs, exact.' })
  difference: TieAmount;

  @IsFlag()
  balances: boolean;
}

/** One stage of stock from opening to closing. */
export class StageBalance {
  @IsOneOf(STAGES)
  stage: string;

  @InBalance()
  dutyStatus: string;

  @ApiProperty({ type: Figures })
  opening: Figures;

  @ApiProperty({ type: Figures, description: 'What events added to the stage.' })
  in: Figures;

  @ApiProperty({ type: Figures, description: 'What events took from it; negative.' })
  out: Figures;

  @ApiProperty({ type: Figures })
  closing: Figures;

  @IsFlag({ description: 'Opening, in and out make closing, to the last decimal.' })
  balances: boolean;
}

/** An operation that was entered long after the event. */
export class LateEntry {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 40 })
  kind: string;

  @IsInstant()
  occurredAt: string;

  @IsInstant()
  recordedAt: string;

  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER }, { description: 'Whole days between them.' })
  daysLate: number;

  @IsWholeNumber(
    { min: 0, max: Number.MAX_SAFE_INTEGER },
    { description: 'Working days after the local day of the event; the next business day is 1.' },
  )
  workingDaysLate: number;

  @Optional()
  @IsId({ description: 'Who did it, where that was said.' })
  personId?: string;

  @IsId({ description: 'The key with which it was entered.' })
  keyId: string;

  @IsPlainText({ max: 200 })
  operations: string;
}

/** Entries that were made so many working days after their events. */
export class EntriesByWorkingDays {
  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER })
  workingDays: number;

  @IsWholeNumber({ min: 1, max: Number.MAX_SAFE_INTEGER })
  entries: number;
}

export class LateEntries {
  @IsWholeNumber({ min: 1, max: 365 }, { description: 'Days after which an entry counts as late: a setting.' })
  afterDays: number;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: 90 },
    {
      description:
        'Working days within which an entry is in time, where the setting says so; `afterDays` does not count then.',
    },
  )
  afterWorkingDays?: number;

  @ApiProperty({ type: [LateEntry] })
  entries: LateEntry[];

  @ApiProperty({
    type: [EntriesByWorkingDays],
    description: 'All entries of the period by how long after their events they were made.',
  })
  byWorkingDays: EntriesByWorkingDays[];
}
