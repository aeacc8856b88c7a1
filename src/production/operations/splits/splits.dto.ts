import { Optional } from '../../../platform/validation/field.js';
import { IsFlag, IsId, IsPlainText, IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer, EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export class NewSplit extends EventBody {
  @IsId()
  fromVesselId: string;

  @IsId({ description: 'Where the part goes; it has to be empty.' })
  toVesselId: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    { description: 'What goes over, at 20 °C; all that is in the vessel if left out.' },
  )
  volume?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of what was measured out; ± 1 % rectangular if left out. None for all of it.' },
  )
  standardUncertainty?: WireQuantity;

  @IsId({ description: 'The lot that the part belongs to from now on.' })
  newLotId: string;
}

export class SplitAnswer extends EventAnswer {
  @IsId({ description: 'The composition that it came from.' })
  fromCompositionId: string;

  @IsFlag({ description: 'It has no strength of record yet; its original gravity is that of the lot it came from.' })
  inProcess: boolean;

  @Optional()
  @IsId({ description: 'The finding that it inherits, as its own.' })
  findingId?: string;

  @IsPlainText({ max: 60 })
  category: string;
}
