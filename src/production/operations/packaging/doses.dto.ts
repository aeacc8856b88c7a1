import { Field } from '../../../platform/validation/field.js';
import { IsId, IsQuantityOf } from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { massOrVolumeRule } from '../../shared/mass-or-volume.js';

/** Most materials that one run doses. */
export const MOST_DOSES = 10;

export class ContainerDose {
  @IsId({ description: 'The material lot that it is taken from: a flavouring, a colour, an acid.' })
  materialLotId: string;

  @Field(massOrVolumeRule({ min: 0, aboveMin: true, max: 100, maxDecimals: 9 }), {
    description: 'In each container, a mass or a volume. A material that contains alcohol is dosed by volume at 20 °C.',
    example: { value: 2, unit: 'mL' },
  })
  perContainer: WireQuantity;
}

/** A dose as the run keeps it. */
export class DosedMaterial extends ContainerDose {
  @IsQuantityOf('volume', {}, { description: 'Pure alcohol that came with it, in the whole run.' })
  pureAlcohol: WireQuantity;
}
