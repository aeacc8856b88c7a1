import { Optional } from '../../../platform/validation/field.js';
import { IsId, IsOneOf, IsQuantityOf } from '../../../platform/validation/fields.js';
import { DrawBody, EventAnswer } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export const TRANSFER_LOSSES = ['yeast-and-trub', 'process-loss'] as const;

export class NewTransfer extends DrawBody {
  @IsId()
  fromVesselId: string;

  @IsId()
  toVesselId: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    {
      description: 'What left the vessel, at 20 °C; all that is in it if left out.',
    },
  )
  volume?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 1_000_000, maxDecimals: 6 },
    {
      description: 'What of it was lost on the way, at 20 °C.',
      example: { value: 2.5, unit: 'L' },
    },
  )
  loss?: WireQuantity;

  @Optional()
  @IsOneOf(TRANSFER_LOSSES, { description: 'Yeast and trub left behind, or an ordinary process loss (the default).' })
  lossKind?: (typeof TRANSFER_LOSSES)[number];
}

export class TransferAnswer extends EventAnswer {
  @IsQuantityOf('volume', {}, { description: 'What was lost.' })
  loss: WireQuantity;
}
