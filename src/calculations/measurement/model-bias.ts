import { ApiProperty } from '@nestjs/swagger';
import { MINIMUM_PAIRS, modelBias as biasOfPairs } from '../../alcoholometry/strength/model-bias.js';
import { coverageFactorOf } from '../../metrology/student.js';
import { NestedList } from '../../platform/validation/field.js';
import { IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, figure } from '../shared/answer.js';
import { IsPercent, baseOf } from '../shared/inputs.js';
import type { Quantity } from '../shared/answer.js';

const MOST_PAIRS = 500;

class CertificatePair {
  @IsPercent({ description: 'By mass balance, without bias.', example: { value: 5.2, unit: '%' } })
  massBalance!: Quantity;

  @IsPercent({ description: 'By certificate.', example: { value: 5.12, unit: '%' } })
  certificate!: Quantity;

  @IsQuantityOf(
    'fraction',
    { min: 0, max: 30 },
    { description: 'Of the certificate: its U divided by its k.', example: { value: 0.03, unit: '%' } },
  )
  certificateStandardUncertainty!: Quantity;
}

export class ModelBiasRequest {
  @NestedList(
    () => CertificatePair,
    { min: MINIMUM_PAIRS, max: MOST_PAIRS },
    { description: 'Lots of one recipe whose strength was found both by mass balance and by certificate.' },
  )
  pairs!: CertificatePair[];
}

export class ModelBiasResult extends CalculationResult {
  @ApiProperty({ type: 'integer', format: 'int32', minimum: MINIMUM_PAIRS, maximum: MOST_PAIRS })
  count!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'Certificate divided by mass balance, minus one.' })
  relativeBias!: number;

  @ApiProperty({
    type: 'number',
    format: 'double',
    minimum: 0,
    description: 'Of a further lot of the recipe, as a fraction of its strength; it replaces the stated default.',
  })
  relativeStandardUncertainty!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 1 })
  degreesOfFreedom!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'k at 95 %.' })
  coverageFactor!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0, description: 'At 95 %, as a fraction of the strength.' })
  relativeExpandedUncertainty!: number;
}

const METHOD = { id: 'model-bias', version: '1.0.0', source: 'JCGM 100, 4.2 and G.4; certificate pairs of one recipe' };

export function modelBias({ pairs }: ModelBiasRequest): ModelBiasResult {
  const found = biasOfPairs(
    pairs.map(({ massBalance, certificate, certificateStandardUncertainty }) => ({
      massBalancePercent: baseOf('fraction', massBalance),
      certificatePercent: baseOf('fraction', certificate),
      certificateStandardUncertainty: baseOf('fraction', certificateStandardUncertainty),
    })),
    'model',
  );
  const coverageFactor = coverageFactorOf(found.degreesOfFreedom, 0.95);
  return {
    count: pairs.length,
    relativeBias: figure(found.relativeBias),
    relativeStandardUncertainty: figure(found.relativeStandardUncertainty),
    degreesOfFreedom: figure(found.degreesOfFreedom),
    coverageFactor: figure(coverageFactor),
    relativeExpandedUncertainty: figure(coverageFactor * found.relativeStandardUncertainty),
    method: METHOD,
    warnings: ['It holds for further lots of the same recipe, fermented and measured in the same way.'],
  };
}
