import { ApiProperty } from '@nestjs/swagger';
import { MAXIMUM_MIX_COMPONENTS, mix, type Mixture } from '../../alcoholometry/mixing/mix.js';
import { mixture as mixtureFinding } from '../../alcoholometry/strength/mixture.js';
import type { Quantity } from '../../metrology/units.js';
import { NestedList, Optional } from '../../platform/validation/field.js';
import { IsPlainText, IsQuantityOf } from '../../platform/validation/fields.js';
import { QuantityDto, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';
import { LiquidAnswerDto, LiquidDto, specOf, toLiquidAnswer } from '../shared/liquid.dto.js';
import { StrengthAnswerDto } from '../strength/strength.dto.js';
import { toStrengthAnswer } from '../strength/strength.mapper.js';

class MixtureComponentDto extends LiquidDto {
  @IsPlainText({ max: 60 }, { description: 'To tell it by in the budget.', example: 'tank 4' })
  name!: string;

  @IsQuantityOf('volume', {}, { description: 'At 20 °C.', example: { value: 120, unit: 'L' } })
  volume!: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100 },
    { description: 'Standard uncertainty of the strength; exact unless said.', example: { value: 0.1, unit: '%' } },
  )
  strengthStandardUncertainty?: Quantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0 },
    { description: 'Standard uncertainty of the volume; exact unless said.', example: { value: 0.6, unit: 'L' } },
  )
  volumeStandardUncertainty?: Quantity;

  @Optional()
  @IsPlainText(
    { max: 100 },
    {
      description: 'Components that share it were found with one instrument: their errors add.',
      example: 'hydrometer-7',
    },
  )
  strengthOrigin?: string;

  @Optional()
  @IsPlainText({ max: 100 }, { description: 'The same for volumes.', example: 'meter-2' })
  volumeOrigin?: string;
}

export class MixtureDto {
  @NestedList(() => MixtureComponentDto, { min: 1, max: MAXIMUM_MIX_COMPONENTS })
  components!: MixtureComponentDto[];
}

export class MixtureAnswerDto extends StrengthAnswerDto {
  @ApiProperty({ type: LiquidAnswerDto })
  result!: LiquidAnswerDto;

  @ApiProperty({ type: QuantityDto, description: 'Result minus components, all at 20 °C.' })
  volumeChange!: QuantityDto;
}

const NAMES: Readonly<Record<string, string>> = { volume: 'components', pureAlcohol: 'components' };

/** What is wrong with the whole is wrong with its components. */
export const mixtureName = (name: string): string => NAMES[name] ?? name;

/** What each origin does to the pure alcohol and to the volume of the result, litres, signed. */
interface Effects {
  readonly pureAlcohol: Map<string, number>;
  readonly volume: Map<string, number>;
}

function effectsOf(components: readonly MixtureComponentDto[], { sensitivities }: Mixture): Effects {
  const effects: Effects = { pureAlcohol: new Map(), volume: new Map() };
  const put = (origin: string, pureAlcoholL: number, volumeL: number): void => {
    effects.pureAlcohol.set(origin, (effects.pureAlcohol.get(origin) ?? 0) + pureAlcoholL);
    effects.volume.set(origin, (effects.volume.get(origin) ?? 0) + volumeL);
  };
  components.forEach((component, i) => {
    const { pureAlcohol, volume } = sensitivities[i];
    const uStrength = baseOf('fraction', component.strengthStandardUncertainty);
    if (uStrength !== undefined) {
      const origin = component.strengthOrigin ?? `component ${i + 1}`;
      put(`strength/${origin}`, pureAlcohol.perStrengthPercent * uStrength, volume.perStrengthPercent * uStrength);
    }
    const uVolume = baseOf('volume', component.volumeStandardUncertainty);
    if (uVolume !== undefined) {
      const origin = component.volumeOrigin ?? `component ${i + 1}`;
      put(`volume/${origin}`, pureAlcohol.perVolumeL * uVolume, volume.perVolumeL * uVolume);
    }
  });
  return effects;
}

/** What known volumes make together, with the uncertainty of its strength. */
export function mixture({ components }: MixtureDto): MixtureAnswerDto {
  const mixed = mix(
    components.map((component) => ({ ...specOf(component), volumeL: baseOf('volume', component.volume) })),
  );
  const effects = effectsOf(components, mixed);
  const finding = mixtureFinding({
    pureAlcoholL: mixed.pureAlcoholL,
    volumeL: mixed.volumeL,
    pureAlcoholComponents: effects.pureAlcohol,
    volumeComponents: effects.volume,
    realExtractPlato: mixed.extractPlato,
  });
  return {
    ...toStrengthAnswer({ ...finding, warnings: [...new Set([...mixed.warnings, ...finding.warnings])] }),
    result: toLiquidAnswer(mixed),
    volumeChange: quantityOf(mixed.volumeChangeL, 'L'),
  };
}
