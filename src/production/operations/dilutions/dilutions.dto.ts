import { Optional } from '../../../platform/validation/field.js';
import { IsId, IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer, EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export class NewDilution extends EventBody {
  @IsId()
  vesselId: string;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, aboveMin: true, max: 100, maxDecimals: 4 },
    {
      description: 'The strength to reach; the water is computed. Either this or `water`.',
      example: { value: 4.5, unit: '%' },
    },
  )
  targetStrength?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    { description: 'Water that went in, at 20 °C.' },
  )
  water?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of the water; ± 0.5 % rectangular if left out.' },
  )
  waterStandardUncertainty?: WireQuantity;

  @Optional()
  @IsId({ description: 'The plan that this carries out.' })
  planId?: string;
}

export class DilutionAnswer extends EventAnswer {
  @IsId({ description: 'The finding of the mixture; it is of record.' })
  findingId: string;

  @IsQuantityOf('fraction')
  strength: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Water, at 20 °C.' })
  water: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Result minus parts, signed: volumes do not add.' })
  volumeChange: WireQuantity;
}
