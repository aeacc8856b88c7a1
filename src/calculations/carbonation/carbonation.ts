import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import {
  CARBONATED_LIQUIDS,
  gaugePressureForVolumes,
  volumesForGaugePressure,
  type CarbonatedLiquid,
} from '../../alcoholometry/carbonation/carbonation.js';
import { timedCarbonation } from '../../alcoholometry/carbonation/timed-carbonation.js';
import { fromBase, unitsOf } from '../../metrology/units.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';
import { IsExtract, IsPercent, baseOf } from '../shared/inputs.js';
import { given, pointingAt, requireExactlyOne } from '../shared/refusal.js';

export const LIQUID_DESCRIPTION =
  'Liquid whose solubility is taken: beer (12 °P original extract, 80 % attenuation) or water, which is the default.';

const PRESSURE_UNITS = unitsOf('pressure');

class SetPressure {
  @IsQuantityOf(
    'pressure',
    {},
    { description: 'The higher gauge pressure that is set for a time.', example: { value: 2, unit: 'bar' } },
  )
  gaugePressure!: Quantity;

  @Optional()
  @IsDecimalNumber(
    {},
    { description: 'CO₂ in the drink at the start; that of a flat drink at its temperature by default.' },
  )
  startVolumesOfCO2?: number;

  @Optional()
  @IsQuantityOf(
    'time',
    {},
    {
      description:
        'Time in which the gap to equilibrium halves, as measured in this container, 3 min to 1000 h. By default 24 h, from 12 to 60 h, for a keg at rest.',
      example: { value: 24, unit: 'h' },
    },
  )
  halfTime?: Quantity;
}

export class CarbonationRequest {
  @Optional()
  @IsOneOf(CARBONATED_LIQUIDS, { description: LIQUID_DESCRIPTION, example: 'beer' })
  liquid?: CarbonatedLiquid;

  @IsQuantityOf('temperature', {}, { description: 'Of the liquid, 0 to 40 °C.', example: { value: 4, unit: 'Cel' } })
  temperature!: Quantity;

  @Optional()
  @IsDecimalNumber({}, { description: 'Wanted: litres of gas at 0 °C and 1 atm in a litre of liquid.', example: 2.5 })
  volumesOfCO2?: number;

  @Optional()
  @IsQuantityOf(
    'pressure',
    {},
    { description: 'In place of volumesOfCO2: the pressure that is set.', example: { value: 80, unit: 'kPa' } },
  )
  gaugePressure?: Quantity;

  @Optional()
  @IsQuantityOf(
    'pressure',
    {},
    { description: 'Atmospheric pressure; 101.325 kPa by default.', example: { value: 95, unit: 'kPa' } },
  )
  atmosphericPressure?: Quantity;

  @Optional()
  @IsPercent({ description: 'Of the drink; affects only the cautions.', example: { value: 5, unit: '%' } })
  strength?: Quantity;

  @Optional()
  @IsExtract({ description: 'Real extract of the drink, °P; affects only the cautions.' })
  extract?: number;

  @Optional()
  @Nested(() => SetPressure, {
    description:
      'The way by time, with volumesOfCO2: a pressure set high that must come down before the target is passed.',
  })
  timed?: SetPressure;

  @Optional()
  @IsOneOf(PRESSURE_UNITS, {
    description: 'Unit of the pressures in the answer; that of a pressure in the request, else kPa, by default.',
    example: 'bar',
  })
  pressureUnit?: string;
}

class LowerAfter {
  @ApiProperty({
    type: Quantity,
    description: 'By the shortest half-time. Lower the pressure at this time and measure.',
  })
  earliest!: Quantity;

  @ApiProperty({ type: Quantity, description: 'By the expected half-time.' })
  expected!: Quantity;

  @ApiProperty({ type: Quantity, description: 'By the longest half-time.' })
  latest!: Quantity;
}

class TimedResult {
  @ApiProperty({ type: Quantity, description: 'The gauge pressure that is set.' })
  setPressure!: Quantity;

  @ApiProperty({ type: 'number', format: 'double', description: 'CO₂ in the drink at the start.' })
  startVolumesOfCO2!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'CO₂ at equilibrium if the set pressure stayed.' })
  equilibriumVolumesOfCO2!: number;

  @ApiProperty({ type: LowerAfter, description: 'When the target is reached.' })
  lowerAfter!: LowerAfter;

  @ApiProperty({ type: Quantity, description: 'Gauge pressure that keeps the target from then on.' })
  lowerTo!: Quantity;
}

export class CarbonationResult extends CalculationResult {
  @ApiProperty({
    type: Quantity,
    description: 'Above the atmospheric pressure, at equilibrium, in the unit that was asked for.',
  })
  gaugePressure!: Quantity;

  @ApiProperty({ type: Quantity, description: 'CO₂ in the liquid, g/L.' })
  dissolved!: Quantity;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'Litres of gas at 0 °C and 1 atm in a litre of liquid.',
  })
  volumesOfCO2!: number;

  @ApiPropertyOptional({ type: TimedResult, description: 'Present where `timed` was given.' })
  timed?: TimedResult;
}

const METHOD = {
  id: 'co2-equilibrium',
  version: '1.1.0',
  source: 'Weiss 1974, solubility of CO2 in water; for beer the published fit of an instrument manual',
};

const NAMES: Readonly<Record<string, string>> = {
  setGaugePressure: 'timed.gaugePressure',
  startVolumesOfCO2: 'timed.startVolumesOfCO2',
  halfTime: 'timed.halfTime',
};

/** The pure function knows the inputs without the object around them. */
export const carbonationName = (name: string): string => NAMES[name] ?? name;

/** Pressures are answered in the unit that is asked for, or in which one was given. */
const unitOf = ({ pressureUnit, timed, gaugePressure, atmosphericPressure }: CarbonationRequest): string =>
  pressureUnit ?? timed?.gaugePressure.unit ?? gaugePressure?.unit ?? atmosphericPressure?.unit ?? 'kPa';

const conditionsOf = (input: CarbonationRequest) => ({
  liquid: input.liquid,
  temperatureC: baseOf('temperature', input.temperature),
  atmosphericPressureKPa: baseOf('pressure', input.atmosphericPressure),
  strengthPercent: baseOf('fraction', input.strength),
  extractPlato: input.extract,
});

const hours = (value: number): Quantity => quantityOf(value, 'h');

/** The timed way to the target; nothing where it is not asked for. @throws ProblemException `timed` without volumesOfCO2 */
function timedOf(input: CarbonationRequest, unit: string): { timed?: TimedResult; warnings: readonly string[] } {
  const { timed } = input;
  if (timed === undefined) return { warnings: [] };
  if (input.volumesOfCO2 === undefined) {
    const detail = 'The timed way needs the target: give volumesOfCO2.';
    throw new ProblemException('validation-failed', detail, {
      errors: [{ pointer: '/volumesOfCO2', rule: 'required', detail }],
    });
  }
  const halfTime = baseOf('time', timed.halfTime);
  const setGaugePressureKPa = baseOf('pressure', timed.gaugePressure);
  const conditions = conditionsOf(input);
  // A set pressure beyond the range is refused at its own place.
  pointingAt('timed.gaugePressure', () => volumesForGaugePressure(conditions, setGaugePressureKPa));
  const found = timedCarbonation({
    ...conditions,
    setGaugePressureKPa,
    targetVolumesOfCO2: input.volumesOfCO2,
    startVolumesOfCO2: timed.startVolumesOfCO2,
    halfTimeH: halfTime === undefined ? undefined : halfTime / 60,
  });
  return {
    timed: {
      setPressure: timed.gaugePressure,
      startVolumesOfCO2: figure(found.startVolumesOfCO2),
      equilibriumVolumesOfCO2: figure(found.equilibriumVolumesOfCO2),
      lowerAfter: {
        earliest: hours(found.lowerAfter.earliestH),
        expected: hours(found.lowerAfter.expectedH),
        latest: hours(found.lowerAfter.latestH),
      },
      lowerTo: quantityOf(fromBase('pressure', found.lowerToGaugePressureKPa, unit), unit),
    },
    warnings: found.warnings,
  };
}

export function carbonation(input: CarbonationRequest): CarbonationResult {
  const known = requireExactlyOne(input, ['volumesOfCO2', 'gaugePressure']);
  const unit = unitOf(input);
  const conditions = conditionsOf(input);
  const found =
    known === 'volumesOfCO2'
      ? gaugePressureForVolumes(conditions, given(input.volumesOfCO2))
      : volumesForGaugePressure(conditions, baseOf('pressure', given(input.gaugePressure)));
  const { timed, warnings } = timedOf(input, unit);
  return {
    gaugePressure: quantityOf(fromBase('pressure', found.gaugePressureKPa, unit), unit),
    dissolved: quantityOf(found.dissolvedGPerL, 'g/L'),
    volumesOfCO2: figure(found.volumesOfCO2),
    ...(timed === undefined ? {} : { timed }),
    method: METHOD,
    warnings: [...warnings, ...found.warnings],
  };
}
