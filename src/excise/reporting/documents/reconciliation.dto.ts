import { ApiProperty } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { IsFlag } from '../../../platform/validation/fields.js';

export class ReconciliationMeasures {
  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  fermented: Litres;

  @ApiProperty({ type: Litres })
  added: Litres;
}

export class Reconciliation {
  @ApiProperty({ type: ReconciliationMeasures, description: 'From the frozen report of the period before.' })
  opening: ReconciliationMeasures;

  @ApiProperty({ type: ReconciliationMeasures, description: 'Summed from the nominal accounts.' })
  flows: ReconciliationMeasures;

  @ApiProperty({ type: ReconciliationMeasures, description: 'Summed from the stock accounts.' })
  closing: ReconciliationMeasures;

  @ApiProperty({ type: ReconciliationMeasures, description: 'Closing less opening and flows, exact.' })
  difference: ReconciliationMeasures;

  @IsFlag()
  balances: boolean;
}
