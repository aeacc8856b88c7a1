import { ApiProperty, OmitType } from '@nestjs/swagger';
import type { CarbonatedLiquid } from '../../alcoholometry/carbonation/carbonation.js';
import { CARBONATED_LIQUIDS } from '../../alcoholometry/carbonation/carbonation.js';
import { ListOf } from '../../platform/openapi/list-of.js';
import { Field, Nested, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsId, IsInstant, IsListOf, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { idRule, textRule } from '../../platform/validation/text-rules.js';
import { NewAddition } from '../operations/additions/additions.dto.js';
import { BlendedLiquid, NewBlend } from '../operations/blends/blends.dto.js';
import { NewDilution } from '../operations/dilutions/dilutions.dto.js';
import type { Quantity } from '../../metrology/units.js';
import { massConcentrationRule } from '../shared/mass-concentration.js';
import { LabelCheck } from '../shared/labels/label-check.dto.js';
import { PLAN_KINDS } from '../shared/plan-reference.js';
import type { PlanKind } from '../shared/plan-reference.js';

/** Properties that only an operation has. */
const OF_AN_OPERATION = ['occurredAt', 'corrects', 'personId', 'note', 'planId'] as const;

export class DilutionPlan extends OmitType(NewDilution, OF_AN_OPERATION) {}
export class BlendPlan extends OmitType(NewBlend, [...OF_AN_OPERATION, 'lotId'] as const) {}
export class AdditionPlan extends OmitType(NewAddition, OF_AN_OPERATION) {}

export class CarbonationPlan {
  @Optional()
  @IsOneOf(CARBONATED_LIQUIDS, {
    description:
      'Liquid whose solubility is taken: beer (12 °P original extract, 80 % attenuation) or water, which is the default.',
  })
  liquid?: CarbonatedLiquid;

  @IsId()
  vesselId: string;

  @IsQuantityOf(
    'temperature',
    { min: 0, max: 40, maxDecimals: 3 },
    { description: 'Of the liquid.', example: { value: 4, unit: 'Cel' } },
  )
  temperature: Quantity;

  @IsDecimalNumber(
    { min: 0, max: 8, maxDecimals: 3 },
    { description: 'Wanted: litres of gas at 0 °C and 1 atm in a litre of liquid.', example: 2.5 },
  )
  volumesOfCO2: number;

  @Optional()
  @IsQuantityOf(
    'pressure',
    { min: 50, max: 110, maxDecimals: 3 },
    { description: 'Of the place; 101.325 kPa unless said.', example: { value: 95, unit: 'kPa' } },
  )
  atmosphericPressure?: Quantity;
}

export class NewPlan {
  @IsOneOf(PLAN_KINDS, { description: 'Which of the four properties of this name is given.', example: 'dilution' })
  kind: PlanKind;

  @Optional()
  @Nested(() => DilutionPlan)
  dilution?: DilutionPlan;

  @Optional()
  @Nested(() => BlendPlan, { description: 'The result would belong to the lot of the address.' })
  blend?: BlendPlan;

  @Optional()
  @Nested(() => AdditionPlan)
  addition?: AdditionPlan;

  @Optional()
  @Nested(() => CarbonationPlan)
  carbonation?: CarbonationPlan;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 3 },
    { description: 'What the label would say: the answer has the chance that it is met.' },
  )
  declaredStrength?: Quantity;
}

/** As much as the method can answer, g/L. */
const MOST_DISSOLVED = 20;

export class PlannedGas {
  @IsQuantityOf('pressure', {}, { description: 'Above the atmosphere of the place, at equilibrium.' })
  gaugePressure: Quantity;

  @Field(massConcentrationRule(MOST_DISSOLVED), { description: 'CO₂ in the liquid.' })
  dissolved: Quantity;
}

export class ComputedPlan {
  @IsQuantityOf('volume', {}, { description: 'What would be in the vessel, at 20 °C.' })
  volume: Quantity;

  @IsQuantityOf('volume')
  pureAlcohol: Quantity;

  @IsQuantityOf('fraction')
  strength: Quantity;

  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty: Quantity;

  @IsQuantityOf('volume', {}, { description: 'Volume of the result minus the sum of its parts, signed.' })
  volumeChange: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'Water that it takes, at 20 °C.' })
  water?: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'What an addition comes to, at 20 °C.' })
  added?: Quantity;

  @ApiProperty({ type: [BlendedLiquid], description: 'Of a blend.' })
  parts: BlendedLiquid[];

  @Optional()
  @Nested(() => PlannedGas)
  gas?: PlannedGas;

  @Optional()
  @Nested(() => LabelCheck)
  labelCheck?: LabelCheck;

  @IsListOf(textRule({ max: 500 }), { max: 100 }, { description: 'Cautions, and what is not known.' })
  warnings: string[];
}

export class SavedPlan {
  @IsId()
  id: string;

  @IsId()
  lotId: string;

  @IsOneOf(PLAN_KINDS)
  kind: PlanKind;

  @ApiProperty({ type: Object, additionalProperties: true, description: 'The request as it was given.' })
  requested: Record<string, unknown>;

  @Nested(() => ComputedPlan)
  computed: ComputedPlan;

  @IsListOf(idRule, { max: 1000 }, { description: 'Operations that name it as what they carry out.' })
  operations: string[];

  @IsInstant()
  recordedAt: string;
}

/** A plan as it was just made: facts that the write fixed. */
export class PlanAnswer extends OmitType(SavedPlan, ['operations', 'recordedAt'] as const) {}

export class PlanPage extends ListOf(SavedPlan) {}
