import { ApiProperty } from '@nestjs/swagger';
import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import { IsFlag, IsGravity, IsId, IsOneOf, IsPlainText, IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer, EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

const LITRES = { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 };

export class BlendComponent {
  @IsId()
  vesselId: string;

  @Optional()
  @IsQuantityOf('volume', LITRES, {
    description: 'What is taken of it, at 20 °C; all that is in it if left out.',
    example: { value: 120, unit: 'L' },
  })
  volume?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of what was measured out; ± 1 % rectangular if left out. None for all of it.' },
  )
  standardUncertainty?: WireQuantity;
}

/** Fresh wort or wash that goes onto what is in the vessel. */
export class BlendWash {
  @IsQuantityOf('volume', LITRES, { description: 'As read, at `temperature`.', example: { value: 180, unit: 'L' } })
  volume: WireQuantity;

  @IsGravity({}, { description: 'Of the wash.', example: { value: 1.048, scale: 'sg-20-20' } })
  gravity: { value: number; scale: string };

  @Optional()
  @IsQuantityOf(
    'temperature',
    { min: -5, max: 100, maxDecimals: 3 },
    { description: 'Of the liquid when its volume was read; 20 ± 5 °C is taken if left out.' },
  )
  temperature?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of the volume; ± 1 % rectangular if left out.' },
  )
  standardUncertainty?: WireQuantity;
}

export class NewBlend extends EventBody {
  @IsId({ description: 'The lot that the result belongs to.' })
  lotId: string;

  @IsId({ description: 'Where the result ends: an empty vessel, or that of a component (a heel), all of which stays.' })
  vesselId: string;

  @NestedList(
    () => BlendComponent,
    { min: 1, max: 10 },
    { description: 'Two or more; one is enough with `wash`, which makes it a charge onto a heel.' },
  )
  components: BlendComponent[];

  @Optional()
  @Nested(() => BlendWash, { description: 'Fresh wash charged onto a heel.' })
  wash?: BlendWash;

  @Optional()
  @IsQuantityOf('volume', LITRES, { description: 'Water that went in beside them, at 20 °C.' })
  water?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of the water; ± 0.5 % rectangular if left out.' },
  )
  waterStandardUncertainty?: WireQuantity;

  @Optional()
  @IsId({ description: 'The plan that this carries out.' })
  planId?: string;
}

export class BlendedLiquid {
  @IsOneOf(['lot', 'wash', 'water'])
  kind: 'lot' | 'wash' | 'water';

  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @Optional()
  @IsId()
  vesselId?: string;

  @IsQuantityOf('volume')
  volume: WireQuantity;

  @IsQuantityOf('volume')
  pureAlcohol: WireQuantity;
}

export class BlendAnswer extends EventAnswer {
  @IsFlag({ description: 'A part had not finished, so the result has no strength of record yet.' })
  inProcess: boolean;

  @Optional()
  @IsId({ description: 'The finding of the mixture: of record, or provisional while it is in process.' })
  findingId?: string;

  @IsQuantityOf('fraction', {}, { description: 'By the books, on what has been found so far.' })
  strength: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Result minus parts, signed: volumes do not add.' })
  volumeChange: WireQuantity;

  @IsPlainText({ max: 60 }, { description: 'Category of the result.' })
  category: string;

  @ApiProperty({ type: [BlendedLiquid] })
  parts: BlendedLiquid[];
}
