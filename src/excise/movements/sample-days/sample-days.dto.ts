import { ApiProperty } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { NestedList, Optional } from '../../../platform/validation/field.js';
import { IsDateOnly, IsId, IsPlainText, IsWholeNumber } from '../../../platform/validation/fields.js';

export class NewSampleDay {
  @IsId()
  premisesId: string;

  @IsDateOnly({ description: 'The local day whose readings are summed.', example: '2026-03-05' })
  day: string;

  @Optional()
  @IsId({ description: 'Who took them.' })
  personId?: string;
}

export class SampleOfDay {
  @IsId({ description: 'The movement of the kind sample that posted them.' })
  movementId: string;

  @IsId()
  lotId: string;

  @IsId()
  vesselId: string;

  @IsWholeNumber({ min: 1, max: 100_000 }, { description: 'Readings that took something out.' })
  readings: number;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;
}

export class SampleDay {
  @IsId()
  premisesId: string;

  @IsPlainText({ max: 10 })
  day: string;

  @NestedList(() => SampleOfDay, { max: 1000 }, { description: 'One for each vessel and what it held.' })
  samples: SampleOfDay[];
}
