import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import {
  massFractionFromVolumePercent,
  volumePercentFromMassFraction,
} from '../../alcoholometry/liquids/ethanol-water.js';
import { SIXTY_FAHRENHEIT_C } from '../../alcoholometry/liquids/gravity-scales.js';
import { proofFromHydrometer } from '../../alcoholometry/hydrometry/hydrometer.js';
import type { GaugedSpirit } from '../../alcoholometry/hydrometry/proof-gauging.js';
import { gaugeByVolume, gaugeByWeight } from '../../alcoholometry/hydrometry/proof-gauging.js';
import {
  densityAt60FKgM3,
  massFractionFromUsProof,
  massFractionFromVolumePercentAt60F,
  proofGallonsPerPound,
  usProof,
  volumePercentAt60F,
  wineGallonsPerPound,
} from '../../alcoholometry/hydrometry/us-proof.js';
import { MetrologyError } from '../../metrology/problem.js';
import { Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';
import { IsPercent, baseOf } from '../shared/inputs.js';
import { given, pointingAt, requireExactlyOne, requireInputs } from '../shared/refusal.js';

const proofLimits = { min: 0, max: 200 };

export class ProofRequest {
  @Optional()
  @IsPercent({ description: 'By volume at 20 °C.', example: { value: 40, unit: '%' } })
  strength?: Quantity;

  @Optional()
  @IsPercent({ description: 'By volume at 60 °F.', example: { value: 40, unit: '%' } })
  strengthAt60F?: Quantity;

  @Optional()
  @IsPercent({ description: 'Alcohol by mass.', example: { value: 33.3, unit: '%' } })
  massFraction?: Quantity;

  @Optional()
  @IsDecimalNumber(proofLimits, { description: 'US degrees of proof: twice the strength at 60 °F.', example: 80 })
  proof?: number;

  @Optional()
  @IsDecimalNumber(proofLimits, { description: 'A proof hydrometer as read at `temperature`.', example: 193 })
  hydrometerReading?: number;

  @Optional()
  @IsQuantityOf(
    'temperature',
    {},
    {
      description: 'At which hydrometer and volume are read; for a volume 60 °F by default.',
      example: { value: 75, unit: '[degF]' },
    },
  )
  temperature?: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'Gauged by volume.', example: { value: 100, unit: '[gal_us]' } })
  volume?: Quantity;

  @Optional()
  @IsQuantityOf(
    'mass',
    {},
    { description: 'Gauged by weight: as a scale shows it in air.', example: { value: 81_000, unit: '[lb_av]' } },
  )
  weight?: Quantity;
}

export class ProofResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'By volume at 20 °C.' })
  strength!: Quantity;

  @ApiProperty({ type: Quantity, description: 'By volume at 60 °F (15.56 °C).' })
  strengthAt60F!: Quantity;

  @ApiProperty({ type: 'number', format: 'double', description: 'US degrees of proof.' })
  proof!: number;

  @ApiProperty({ type: Quantity, description: 'Alcohol by mass.' })
  massFraction!: Quantity;

  @ApiProperty({ type: Quantity, description: 'True density at 60 °F.' })
  densityAt60F!: Quantity;

  @ApiProperty({ type: 'number', format: 'double', description: 'US gallons at 60 °F in a pound weighed in air.' })
  wineGallonsPerPound!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'Proof gallons in a pound weighed in air.' })
  proofGallonsPerPound!: number;

  @ApiPropertyOptional({ type: Quantity, description: 'Of what was gauged, at 60 °F.' })
  wineGallons?: Quantity;

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Of what was gauged, unrounded.' })
  proofGallons?: number;

  @ApiPropertyOptional({ type: Quantity, description: 'Of what was gauged, at 20 °C.' })
  volumeAt20?: Quantity;

  @ApiPropertyOptional({ type: Quantity, description: 'Litres of pure alcohol at 20 °C in what was gauged.' })
  pureAlcohol?: Quantity;
}

const METHOD = {
  id: 'us-proof',
  version: '1.0.0',
  source: 'OIML R 22 at 60 °F; 27 CFR 30.11, 30.51, 30.61, 30.64',
};

const WARNINGS = [
  'Nothing is rounded here; 27 CFR 30 and local practice say how proof and proof gallons are rounded.',
  'For spirit free of solids: 0.1 g of solids in 100 mL hides 0.4 degree of proof (27 CFR 30.32).',
];

const KNOWNS = ['strength', 'strengthAt60F', 'massFraction', 'proof', 'hydrometerReading'] as const;
const AMOUNTS = ['volume', 'weight'];

function massFractionOf(input: ProofRequest): number {
  const known = requireExactlyOne(input, KNOWNS);
  if (known !== 'hydrometerReading' && input.volume === undefined) {
    requireInputs(input, ['temperature'], [], [], 'Without hydrometerReading and volume this');
  }
  switch (known) {
    case 'strength':
      return massFractionFromVolumePercent(baseOf('fraction', given(input.strength)));
    case 'strengthAt60F':
      return massFractionFromVolumePercentAt60F(baseOf('fraction', given(input.strengthAt60F)));
    case 'massFraction':
      return baseOf('fraction', given(input.massFraction)) / 100;
    case 'proof':
      return massFractionFromUsProof(given(input.proof));
    case 'hydrometerReading':
      requireInputs(input, ['temperature'], ['temperature'], [], 'A hydrometer reading');
      return massFractionFromUsProof(
        proofFromHydrometer(given(input.hydrometerReading), baseOf('temperature', given(input.temperature))),
      );
  }
}

const NAMES: Readonly<Record<string, string>> = { density: 'hydrometerReading' };

/** A reading outside the range of spirits is refused with the pointer `density`. */
export const proofName = (name: string): string => NAMES[name] ?? name;

function gaugedOf(input: ProofRequest, massFraction: number): GaugedSpirit | undefined {
  if (input.volume !== undefined && input.weight !== undefined) {
    throw new MetrologyError('contradictory', `Give at most one of ${AMOUNTS.join(', ')}.`, { pointer: 'weight' });
  }
  if (input.volume !== undefined) {
    const temperatureC = baseOf('temperature', input.temperature) ?? SIXTY_FAHRENHEIT_C;
    return gaugeByVolume(massFraction, baseOf('volume', input.volume), temperatureC);
  }
  const { weight } = input;
  if (weight === undefined) return undefined;
  return pointingAt('weight', () => gaugeByWeight(massFraction, baseOf('mass', weight)));
}

export function proof(input: ProofRequest): ProofResult {
  const massFraction = massFractionOf(input);
  const gauged = gaugedOf(input, massFraction);
  const degrees = usProof(massFraction);
  return {
    strength: quantityOf(volumePercentFromMassFraction(massFraction), '%'),
    strengthAt60F: quantityOf(volumePercentAt60F(massFraction), '%'),
    proof: figure(degrees),
    massFraction: quantityOf(100 * massFraction, '%'),
    densityAt60F: quantityOf(densityAt60FKgM3(massFraction), 'kg/m3'),
    wineGallonsPerPound: figure(wineGallonsPerPound(degrees)),
    proofGallonsPerPound: figure(proofGallonsPerPound(degrees)),
    ...(gauged === undefined
      ? {}
      : {
          wineGallons: quantityOf(gauged.wineGallons, '[gal_us]'),
          proofGallons: figure(gauged.proofGallons),
          volumeAt20: quantityOf(gauged.volumeAt20L, 'L'),
          pureAlcohol: quantityOf(gauged.pureAlcoholAt20L, 'L'),
        }),
    method: METHOD,
    warnings: WARNINGS,
  };
}
