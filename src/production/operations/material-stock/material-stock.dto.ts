import { NestedList, Optional } from '../../../platform/validation/field.js';
import { IsId, IsInstant, IsOneOf, IsQuantityOf } from '../../../platform/validation/fields.js';
import { Field } from '../../../platform/validation/field.js';
import { IsLossReason } from '../../../tenancy/reasons/reason-codes.dto.js';
import { EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { Flag } from '../../shared/flag.dto.js';
import { massOrVolumeRule } from '../../shared/mass-or-volume.js';

const MOST = { max: 1_000_000, maxDecimals: 6 };

export class NewMaterialCount extends EventBody {
  @Field(massOrVolumeRule({ min: 0, ...MOST }), {
    description: 'As counted or weighed: a mass for a lot that was received by mass, else a volume.',
    example: { value: 46.5, unit: 'kg' },
  })
  quantity: WireQuantity;

  @Optional()
  @IsLossReason({ description: 'Why it differs from the entries.', example: 'recording-error' })
  reasonCode?: string;
}

export class NewMaterialWriteOff extends EventBody {
  @Field(massOrVolumeRule({ min: 0, aboveMin: true, ...MOST }), {
    description: 'Lost or thrown away: a mass for a lot that was received by mass, else a volume.',
    example: { value: 2.5, unit: 'kg' },
  })
  quantity: WireQuantity;

  @IsLossReason({ description: 'Why it was written off.', example: 'spoilage' })
  reasonCode: string;
}

/** An entry on the quantity on hand of a material lot, outside the double entry. */
export class MaterialEntry {
  @IsId({ description: 'The operation; a reversal of it takes the entry back.' })
  operationId: string;

  @IsOneOf(['material-count', 'material-write-off'])
  kind: 'material-count' | 'material-write-off';

  @IsInstant()
  occurredAt: string;

  @IsId()
  materialLotId: string;

  @IsQuantityOf('volume', {}, { description: 'Counted or written off, in the unit of the lot: L, or a mass in kg.' })
  quantity: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Change of the quantity on hand by this entry, signed.' })
  change: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'On hand now, by all entries.' })
  onHand: WireQuantity;

  @NestedList(() => Flag, { max: 10 }, { description: '`stock-below-zero`.' })
  flags: Flag[];
}
