import { Field, Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import { IsDecimalNumber, IsFlag, IsId, IsOneOf, IsQuantityOf } from '../../../platform/validation/fields.js';
import { EventAnswer, EventBody } from '../../shared/event.dto.js';
import { Flag } from '../../shared/flag.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { massOrVolumeRule } from '../../shared/mass-or-volume.js';

const PURPOSES = [
  'sugar',
  'fruit',
  'flavouring',
  'acid',
  'fining',
  'nutrient',
  'water-salt',
  'stabiliser',
  'chase-water',
  'other',
] as const;
export type Purpose = (typeof PURPOSES)[number];

export const DOSE_PER = ['litre-of-finished-drink', 'litre-of-base', 'bottle'] as const;

export class AdditionDose {
  @IsOneOf(DOSE_PER, { example: 'litre-of-finished-drink' })
  per: (typeof DOSE_PER)[number];

  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 100, maxDecimals: 6 },
    { example: { value: 12.5, unit: 'mL' } },
  )
  dose: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0.01, max: 100, maxDecimals: 6 },
    { description: 'Of the bottle, needed with `bottle`.', example: { value: 330, unit: 'mL' } },
  )
  bottle?: WireQuantity;
}

export class NewAddition extends EventBody {
  @IsId()
  vesselId: string;

  @IsOneOf(PURPOSES, { example: 'sugar' })
  purpose: Purpose;

  @Optional()
  @IsId({ description: 'The material lot that it is taken from; required for everything but chase water.' })
  materialLotId?: string;

  @Optional()
  @IsQuantityOf(
    'mass',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    { description: 'Of a solid. One of mass, volume and dose.', example: { value: 2.4, unit: 'kg' } },
  )
  mass?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    { description: 'Of a liquid, at 20 °C.' },
  )
  volume?: WireQuantity;

  @Optional()
  @Nested(() => AdditionDose, { description: 'Amount of a liquid for each litre or bottle, in place of `volume`.' })
  dose?: AdditionDose;

  @Optional()
  @IsDecimalNumber(
    { min: 0, max: 60, maxDecimals: 6, unit: '°P' },
    { description: 'Extract of a liquid that is added (°Bx of a syrup), °P; 0 if left out.' },
  )
  extract?: number;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 6 },
    {
      description:
        'The part of a solid’s mass that dissolves; 100 % if left out. Required for fruit: its sugar by mass.',
      example: { value: 10, unit: '%' },
    },
  )
  solubleFraction?: WireQuantity;

  @Optional()
  @Field(massOrVolumeRule({ min: 0, max: 100_000, maxDecimals: 9 }), {
    description:
      'Of the mass in a unit of mass, of the volume or dose in a unit of volume; ± 0.2 % of a mass, ± 0.5 % of a volume, rectangular, if left out.',
    example: { value: 0.002, unit: 'kg' },
  })
  standardUncertainty?: WireQuantity;

  @Optional()
  @IsId({ description: 'The plan that this carries out.' })
  planId?: string;
}

export class AdditionAnswer extends EventAnswer {
  @IsOneOf(['negligible', 'solid', 'liquid', 'alcohol'], {
    description:
      'How it is posted: on record only (negligible), as solids dissolved, as liquid added, or as alcohol drawn from its material lot.',
  })
  booked: 'negligible' | 'solid' | 'liquid' | 'alcohol';

  @IsFlag({ description: 'The composition has no strength of record yet.' })
  inProcess: boolean;

  @Optional()
  @IsId({ description: 'The finding of the mixture: of record, or provisional while it is in process.' })
  findingId?: string;

  @IsQuantityOf('fraction', {}, { description: 'Strength by the books, from the findings so far.' })
  strength: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty: WireQuantity;

  @IsQuantityOf(
    'volume',
    {},
    { description: 'Volume added, at 20 °C; for a solid the volume that it takes up when dissolved.' },
  )
  added: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Result minus parts, signed: volumes do not add.' })
  volumeChange: WireQuantity;

  @NestedList(
    () => Flag,
    { max: 10 },
    {
      description:
        '`original-gravity-ended`: the drop in gravity no longer gives the strength; `stock-below-zero`: more was used of the material lot than it had.',
    },
  )
  flags: Flag[];
}
