import { IsDecimalNumber, IsOneOf, IsQuantityOf } from '../../../platform/validation/fields.js';
import { Optional } from '../../../platform/validation/field.js';
import type { Quantity } from '../../../metrology/units.js';

export class LabelCheck {
  @IsOneOf(['conforms', 'does-not-conform', 'cannot-tell'])
  decision: 'conforms' | 'does-not-conform' | 'cannot-tell';

  @IsDecimalNumber(
    { min: 0, max: 1 },
    { description: 'That the true strength lies within the tolerance of the label.' },
  )
  probability: number;

  @IsQuantityOf('fraction', {}, { description: 'Strength of record of what is packed, conditioning included.' })
  measured: Quantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Permitted difference either way, where both sides have the same.' })
  tolerance?: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    {},
    { description: 'Lowest strength that the label permits; left out without such a limit.' },
  )
  lowest?: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    {},
    { description: 'Highest strength that the label permits; left out without such a limit.' },
  )
  highest?: Quantity;
}
