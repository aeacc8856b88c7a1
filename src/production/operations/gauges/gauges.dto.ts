import { IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export class GaugeAnswer extends EventAnswer {
  @IsQuantityOf('volume', {}, { description: 'Volume in the books before the gauge.' })
  bookVolume: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Found minus book, signed.' })
  difference: WireQuantity;

  @IsQuantityOf('volume', { units: ['L'] }, { description: 'Of the volume found.' })
  standardUncertainty: WireQuantity;
}
