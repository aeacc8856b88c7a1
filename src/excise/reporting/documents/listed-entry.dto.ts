import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { NOMINAL_KINDS } from '../../../ledger/books/account.js';
import { Figures, Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsId,
  IsInstant,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsQuantityOf,
} from '../../../platform/validation/fields.js';
import { Judgement } from '../../movements/judgement.js';

export const HASH = /^[0-9a-f]{64}$/;
export const OPERATIONS = { description: 'Where the operations behind the figure are.' };

/** An entry that was put right, as it was entered. */
export class EarlierEntry {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 40 })
  operationKind: string;

  @IsInstant()
  occurredAt: string;

  @IsInstant()
  recordedAt: string;

  @Optional()
  @IsId({ description: 'Who entered it, where that was said.' })
  personId?: string;

  @ApiProperty({ type: Litres, description: 'Its effect on stock.' })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;
}

/** A closed report. */
export class DeclaredIn {
  @IsId()
  periodId: string;

  @IsDateOnly()
  startsOn: string;

  @IsDateOnly()
  endsBefore: string;

  @IsPattern(HASH, 'a SHA-256 hash', { max: 64 })
  reportHash: string;
}

/** One entry on a line whose entries are listed one by one. */
export class ListedEntry extends Figures {
  @IsOneOf(NOMINAL_KINDS)
  line: string;

  @IsId()
  operationId: string;

  @IsPlainText({ max: 40 })
  operationKind: string;

  @IsInstant()
  occurredAt: string;

  @IsInstant({ description: 'When it was entered.' })
  recordedAt: string;

  @IsDateOnly({ description: 'Local day of the premises.' })
  day: string;

  @Optional()
  @IsPlainText({ max: 300 }, { description: 'Lot mark, lot, or material with its lot.' })
  product?: string;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Strength by the books, % vol; absent where no litres went.' })
  strength?: { value: number; unit: string };

  @Optional()
  @IsId({ description: 'Who did it, where that was said.' })
  personId?: string;

  @Optional()
  @IsId({ description: 'Who looked into it, where that was said.' })
  investigatedBy?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @IsPlainText({ max: 120 })
  category: string;

  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @Optional()
  @IsId({ description: 'The operation that it reverses.' })
  reverses?: string;

  @Optional()
  @IsId({ description: 'The operation that it takes the place of, or differs from.' })
  corrects?: string;

  @Optional()
  @IsId({ description: 'The closed period that it puts right.' })
  earlierPeriodId?: string;

  @ApiPropertyOptional({ type: Judgement, description: 'Of a loss: against its own uncertainty.' })
  judgement?: Judgement;

  @ApiPropertyOptional({ type: EarlierEntry, description: 'Of a correction: the entry that it puts right, as it was.' })
  earlier?: EarlierEntry;

  @ApiPropertyOptional({
    type: DeclaredIn,
    description: 'Of a correction: the report that declared the earlier figure.',
  })
  declaredIn?: DeclaredIn;

  @IsPlainText({ max: 200 }, OPERATIONS)
  operations: string;
}
