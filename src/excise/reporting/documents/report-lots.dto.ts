import { ApiPropertyOptional } from '@nestjs/swagger';
import { Figures } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';

const OPERATIONS = { description: 'Where the operations behind the figure are.' };

export class LotFinding {
  @IsId()
  id: string;

  @IsPlainText({ max: 60 })
  methodId: string;

  @IsQuantityOf('fraction')
  strength: WireQuantity;

  @IsQuantityOf('fraction')
  expandedUncertainty: WireQuantity;

  @IsInstant()
  sampledAt: string;
}

export class LotInProcess extends Figures {
  @IsId()
  lotId: string;

  @IsPlainText({ max: 60 })
  lotCode: string;

  @IsId()
  compositionId: string;

  @IsOneOf(['provisional', 'none'], { description: 'What is known of its strength at the end.' })
  standing: 'provisional' | 'none';

  @ApiPropertyOptional({ type: LotFinding, description: 'The latest provisional finding.' })
  finding?: LotFinding;
}

/** Lot that was declared finished in the period, with its finding. */
export class LotProduced extends Figures {
  @IsDateOnly({ description: 'Local day of the premises.' })
  day: string;

  @IsInstant()
  occurredAt: string;

  @IsPlainText({ max: 120 })
  category: string;

  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  lotCode?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @ApiPropertyOptional({ type: LotFinding, description: 'The finding of record.' })
  finding?: LotFinding;

  @IsId()
  operationId: string;

  @Optional()
  @IsId({ description: 'The operation that it reverses.' })
  reverses?: string;

  @IsPlainText({ max: 200 }, OPERATIONS)
  operations: string;
}
