import { IsDecimalNumber, IsQuantityOf } from '../../platform/validation/fields.js';
import { DocumentReference } from './document.dto.js';
import type { WireQuantity } from './event.dto.js';

/** Certificate that states a strength, with its uncertainty as it is printed there. */
export class StrengthCertificate extends DocumentReference {
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 6 },
    { description: 'U as stated.', example: { value: 0.1, unit: '%' } },
  )
  expandedUncertainty: WireQuantity;

  @IsDecimalNumber({ min: 0, aboveMin: true, max: 20, maxDecimals: 6 }, { description: 'k as stated.', example: 2 })
  coverageFactor: number;
}
