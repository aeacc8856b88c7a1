import { ApiProperty } from '@nestjs/swagger';
import { degassedVolumeL } from '../../alcoholometry/liquids/drink.js';
import type { VolumeLiquid } from '../../alcoholometry/liquids/volume-conversion.js';
import { convertVolume } from '../../alcoholometry/liquids/volume-conversion.js';
import { Optional } from '../../platform/validation/field.js';
import { IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, quantityOf } from '../shared/answer.js';
import { IsExtract, IsGramsPerLitre, IsPercent, baseOf } from '../shared/inputs.js';
import { given, requireExactlyOne, requireInputs } from '../shared/refusal.js';

const VOLUME_LIQUIDS = ['alcohol-water', 'drink', 'wort'] as const;

export class VolumeRequest {
  @IsOneOf(VOLUME_LIQUIDS, {
    description: 'alcohol-water takes strength; drink strength with extract or density; wort extract, to 100 °C.',
    example: 'drink',
  })
  liquid!: (typeof VOLUME_LIQUIDS)[number];

  @Optional()
  @IsPercent({ description: 'By volume at 20 °C.', example: { value: 5, unit: '%' } })
  strength?: Quantity;

  @Optional()
  @IsExtract({ description: 'Real extract of a drink, extract of a wort, °P.' })
  extract?: number;

  @Optional()
  @IsQuantityOf(
    'density',
    {},
    { description: 'Of a drink: true density at 20 °C, as measured.', example: { value: 1004.2, unit: 'kg/m3' } },
  )
  density?: Quantity;

  @Optional()
  @IsQuantityOf(
    'temperature',
    {},
    { description: 'Of the liquid; 20 °C by default.', example: { value: 12, unit: 'Cel' } },
  )
  temperature?: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'At its temperature.', example: { value: 1000, unit: 'L' } })
  volume?: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'At 20 °C.', example: { value: 1000, unit: 'L' } })
  volumeAt20?: Quantity;

  @Optional()
  @IsQuantityOf('mass', {}, { description: 'True mass.', example: { value: 1000, unit: 'kg' } })
  mass?: Quantity;

  @Optional()
  @IsQuantityOf('mass', {}, { description: 'As a scale shows it in air.', example: { value: 1000, unit: 'kg' } })
  weighedMass?: Quantity;

  @Optional()
  @IsGramsPerLitre(20, {
    description: 'With `volume`: dissolved CO₂; its volume is subtracted first.',
    example: { value: 5, unit: 'g/L' },
  })
  dissolvedCO2?: Quantity;
}

export class VolumeResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'Degassed, at its temperature.' })
  volume!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Degassed, at 20 °C.' })
  volumeAt20!: Quantity;

  @ApiProperty({ type: Quantity, description: 'True mass.' })
  mass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'As a scale shows it in air of 1.2 kg/m³.' })
  weighedMass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'True density at its temperature.' })
  density!: Quantity;

  @ApiProperty({ type: Quantity, description: 'True density at 20 °C.' })
  densityAt20!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Litres of pure alcohol at 20 °C.' })
  pureAlcohol!: Quantity;
}

const METHOD = {
  id: 'volume-at-20',
  version: '1.0.0',
  source: 'OIML R 22; Tabarié with ICUMSA SPS-4 (1998); air 1.2 kg/m3',
};

const OF_LIQUID = ['strength', 'extract', 'density'];
const TAKEN: Readonly<Record<VolumeRequest['liquid'], { needed: string[]; taken: string[] }>> = {
  'alcohol-water': { needed: ['strength'], taken: [] },
  drink: { needed: ['strength'], taken: ['extract', 'density'] },
  wort: { needed: ['extract'], taken: [] },
};

function liquidOf(input: VolumeRequest): VolumeLiquid {
  const { needed, taken } = TAKEN[input.liquid];
  requireInputs(input, OF_LIQUID, needed, taken, `A volume of ${input.liquid}`);
  switch (input.liquid) {
    case 'alcohol-water':
      return { kind: 'alcohol-water', strengthPercent: baseOf('fraction', given(input.strength)) };
    case 'drink':
      return {
        kind: 'drink',
        strengthPercent: baseOf('fraction', given(input.strength)),
        extractPlato: input.extract,
        densityKgM3: baseOf('density', input.density),
      };
    case 'wort':
      return { kind: 'wort', extractPlato: given(input.extract) };
  }
}

const NO_EXTRACT =
  'Without extract or density the drink is assumed to be only alcohol and water; with extract it is heavier.';

export const volumeName = (name: string): string => name.replace(/^drink\./, '');

export function volume(input: VolumeRequest): VolumeResult {
  const liquid = liquidOf(input);
  const known = requireExactlyOne(input, ['volume', 'volumeAt20', 'mass', 'weighedMass']);
  if (known !== 'volume') requireInputs(input, ['dissolvedCO2'], [], [], `A conversion from ${known}`);
  const read = baseOf('volume', input.volume);
  const dissolved = input.dissolvedCO2?.value ?? 0;
  const found = convertVolume({
    liquid,
    temperatureC: baseOf('temperature', input.temperature),
    volumeL: read === undefined ? undefined : degassedVolumeL(read, dissolved).volumeL,
    volumeAt20L: baseOf('volume', input.volumeAt20),
    massKg: baseOf('mass', input.mass),
    weighedKg: baseOf('mass', input.weighedMass),
  });
  const isBare = input.liquid === 'drink' && input.extract === undefined && input.density === undefined;
  return {
    volume: quantityOf(found.volumeL, 'L'),
    volumeAt20: quantityOf(found.volumeAt20L, 'L'),
    mass: quantityOf(found.massKg, 'kg'),
    weighedMass: quantityOf(found.weighedKg, 'kg'),
    density: quantityOf(found.densityKgM3, 'kg/m3'),
    densityAt20: quantityOf(found.densityAt20KgM3, 'kg/m3'),
    pureAlcohol: quantityOf(found.pureAlcoholL, 'L'),
    method: METHOD,
    warnings: [...(isBare ? [NO_EXTRACT] : []), ...found.warnings],
  };
}
