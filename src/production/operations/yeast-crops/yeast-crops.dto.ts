import { IsId, IsPlainText, IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer, EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export class NewYeastCrop extends EventBody {
  @IsId()
  vesselId: string;

  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 100_000, maxDecimals: 6 },
    { description: 'Of the slurry, at 20 °C.', example: { value: 8, unit: 'L' } },
  )
  volume: WireQuantity;

  @IsId({ description: 'The material that it is: one of the kind yeast.' })
  materialId: string;

  @IsPlainText({ max: 60 }, { description: 'What the producer calls the crop.', example: 'Y-2026-03-G4' })
  materialLotCode: string;
}

export class YeastCropAnswer extends EventAnswer {
  @IsId({ description: 'The material lot, which bears the alcohol of the liquid around the yeast.' })
  materialLotId: string;

  @IsQuantityOf('fraction', {}, { description: 'Of the slurry, by the books.' })
  strength: WireQuantity;
}
