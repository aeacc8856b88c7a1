import { NestedList, Optional } from '../../../platform/validation/field.js';
import { IsQuantityOf } from '../../../platform/validation/fields.js';
import { IsLossReason } from '../../../tenancy/reasons/reason-codes.dto.js';
import { EventAnswer } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { Flag } from '../../shared/flag.dto.js';
import { VolumeReading } from '../charges/charges.dto.js';

export class NewGauge extends VolumeReading {
  @Optional()
  @IsLossReason({
    description:
      'Why the volume found differs from the books; needed where the difference is larger than the U of the gauge and than the producer’s `usualGaugeDifference`.',
    example: 'residue',
  })
  reasonCode?: string;
}

export class GaugeAnswer extends EventAnswer {
  @IsQuantityOf('volume', {}, { description: 'Volume in the books before the gauge.' })
  bookVolume: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Found minus book, signed.' })
  difference: WireQuantity;

  @IsQuantityOf('volume', { units: ['L'] }, { description: 'Of the volume found.' })
  standardUncertainty: WireQuantity;

  @NestedList(() => Flag, { max: 10 }, { description: '`gauge-difference` where the difference needed a reason.' })
  flags: Flag[];
}
