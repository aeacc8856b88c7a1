import { NestedList, Optional } from '../../../platform/validation/field.js';
import { IsId, IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer, EventBody } from '../../shared/event.dto.js';
import { Flag } from '../../shared/flag.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

/** A measured volume as the floor gives it. */
export class VolumeReading extends EventBody {
  @IsId()
  vesselId: string;

  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    {
      description: 'As read, at `temperature`.',
      example: { value: 200, unit: 'L' },
    },
  )
  volume: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'temperature',
    { min: -5, max: 100, maxDecimals: 3 },
    {
      description: 'Of the liquid when it was read; 20 ± 5 °C is taken if left out.',
      example: { value: 23, unit: 'Cel' },
    },
  )
  temperature?: WireQuantity;

  @Optional()
  @IsId({ description: 'What it was read with; its calibration gives the uncertainty.' })
  instrumentId?: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    {
      description: 'Of the volume; from the calibration, or ± 1 % rectangular, if left out.',
    },
  )
  standardUncertainty?: WireQuantity;
}

export class UsedMaterial {
  @IsId()
  materialLotId: string;

  @IsQuantityOf(
    'mass',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    { example: { value: 18.5, unit: 'kg' } },
  )
  mass: WireQuantity;
}

export class WashCharge extends VolumeReading {
  @Optional()
  @NestedList(
    () => UsedMaterial,
    { max: 30 },
    { description: 'What went in: for the trace, and off the quantity on hand of each lot.' },
  )
  materials?: UsedMaterial[];
}

export class WashChargeAnswer extends EventAnswer {
  @NestedList(
    () => Flag,
    { max: 60 },
    { description: '`stock-below-zero`: more was used of a material lot than it had.' },
  )
  flags: Flag[];
}

export class UsedSpirit {
  @IsId({ description: 'A material lot with alcohol.' })
  materialLotId: string;

  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    {
      description: 'As measured out, at `temperature`; at 20 °C without one.',
      example: { value: 20, unit: 'L' },
    },
  )
  volume: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'temperature',
    { min: -20, max: 40, maxDecimals: 3 },
    {
      description:
        'Of the spirit when it was measured out. Spirit of 96 % vol takes up 1 % less at 10 °C than at 20 °C.',
    },
  )
  temperature?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of what was measured out; ± 1 % rectangular if left out. None for all of it.' },
  )
  standardUncertainty?: WireQuantity;
}

export class SpiritCharge extends EventBody {
  @IsId()
  vesselId: string;

  @NestedList(
    () => UsedSpirit,
    { min: 1, max: 10 },
    {
      description:
        'What duty was paid on may be among them: the report shows it as used up apart from the rest. What becomes of it is under suspension whole; whether the duty paid counts, local law decides.',
    },
  )
  spirits: UsedSpirit[];

  @Optional()
  @IsQuantityOf('volume', { min: 0, max: 1_000_000, maxDecimals: 6 }, { description: 'Water put in, at 20 °C.' })
  water?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, aboveMin: true, max: 100, maxDecimals: 4 },
    {
      description: 'In place of `water`: the strength to reach; the water is computed.',
      example: { value: 5, unit: '%' },
    },
  )
  targetStrength?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of the water; ± 0.5 % rectangular if left out.' },
  )
  waterStandardUncertainty?: WireQuantity;
}

export class SpiritChargeAnswer extends EventAnswer {
  @IsId()
  findingId: string;

  @IsQuantityOf('fraction')
  strength: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Water that went in, at 20 °C.' })
  water: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Result minus parts, signed.' })
  volumeChange: WireQuantity;
}
