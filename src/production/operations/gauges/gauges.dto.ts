import { IsDecimalNumber, IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export class GaugeAnswer extends EventAnswer {
  @IsQuantityOf('volume', {}, { description: 'What the books held before.' })
  bookVolume: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Found minus book, signed.' })
  difference: WireQuantity;

  @IsDecimalNumber({}, { description: 'Of the volume found, L.' })
  standardUncertaintyL: number;
}
