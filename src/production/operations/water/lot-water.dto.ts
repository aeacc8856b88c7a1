import type { WaterSalt } from '../../../alcoholometry/water/brewing-water.js';
import { WATER_SALTS } from '../../../alcoholometry/water/brewing-water.js';
import { NestedList, Optional } from '../../../platform/validation/field.js';
import { IsId, IsInstant, IsListOf, IsOneOf, IsQuantityOf } from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import type { WaterIons } from '../../../platform/validation/water-ions.js';
import { IsWaterIons } from '../../../platform/validation/water-ions.js';
import type { WireQuantity } from '../../shared/event.dto.js';

const MOST = 1000;

export class LotSalt {
  @IsId()
  operationId: string;

  @IsOneOf(['charge', 'addition'])
  kind: 'charge' | 'addition';

  @IsInstant()
  occurredAt: string;

  @IsId()
  materialLotId: string;

  @IsOneOf(WATER_SALTS)
  waterSalt: WaterSalt;

  @IsQuantityOf('mass', {}, { description: 'As weighed.' })
  mass: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'In the vessel after it, at 20 °C.' })
  volume: WireQuantity;

  @IsWaterIons({ description: 'Ions that it gave to a litre.' })
  added: WaterIons;
}

export class LotWater {
  @IsId()
  lotId: string;

  @Optional()
  @IsWaterIons({ description: "The water before, by the recipe's plan; left out where the plan says nothing of it." })
  base?: WaterIons;

  @IsWaterIons({ description: 'Ions of the salts that went in, each in the volume of its moment.' })
  added: WaterIons;

  @IsWaterIons({ description: 'Both together.' })
  ions: WaterIons;

  @Optional()
  @IsWaterIons({ description: "What the recipe's plan expects." })
  planned?: WaterIons;

  @NestedList(() => LotSalt, { max: MOST })
  salts: LotSalt[];

  @IsListOf(textRule({ max: 500 }), { max: 20 })
  warnings: string[];
}
