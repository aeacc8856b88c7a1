import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { IsDecimalText, Money } from './duty-values.dto.js';

/** Litres on which duty falls. */
export class GoodsForDuty {
  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholForDuty: Litres;
}

/** Goods with their quantity for duty and the duty itself. */
export class DutyAmount extends GoodsForDuty {
  @IsDecimalText('Quantity for duty in the unit of the group, its steps taken.')
  quantity: string;

  @ApiPropertyOptional({ type: Money, description: 'Left out where there is no rate.' })
  money?: Money;
}
