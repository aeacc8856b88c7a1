import { ApiProperty } from '@nestjs/swagger';
import { MAXIMUM_MIX_COMPONENTS, mix, type Mixture } from '../../alcoholometry/mixing/mix.js';
import { DEFAULTS } from '../../alcoholometry/strength/defaults.js';
import { rectangular } from '../../alcoholometry/strength/finding.js';
import { mixture as mixtureFinding } from '../../alcoholometry/strength/mixture.js';
import { DRINK_DENSITY_ORIGIN } from '../../alcoholometry/liquids/drink.js';
import { NestedList, Optional } from '../../platform/validation/field.js';
import { IsPlainText, IsQuantityOf } from '../../platform/validation/fields.js';
import { Quantity, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';
import { LiquidResult, StatedLiquid, specOf, toLiquidResult } from '../shared/liquid.dto.js';
import { StrengthResult } from '../strength/strength.dto.js';
import { toStrengthResult } from '../strength/strength.mapper.js';

class MixtureComponent extends StatedLiquid {
  @IsPlainText({ max: 60 }, { description: 'Name in the budget.', example: 'tank 4' })
  name!: string;

  @IsQuantityOf('volume', {}, { description: 'At 20 °C.', example: { value: 120, unit: 'L' } })
  volume!: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100 },
    {
      description: 'Standard uncertainty of the strength; ± 0.3 % vol, rectangular, by default, none for water.',
      example: { value: 0.1, unit: '%' },
    },
  )
  strengthStandardUncertainty?: Quantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0 },
    {
      description: 'Standard uncertainty of the volume; ± 1 %, rectangular, by default. 0 for an exact one.',
      example: { value: 0.6, unit: 'L' },
    },
  )
  volumeStandardUncertainty?: Quantity;

  @Optional()
  @IsPlainText(
    { max: 100 },
    {
      description: 'Components of one origin were measured with one instrument: their errors add.',
      example: 'hydrometer-7',
    },
  )
  strengthOrigin?: string;

  @Optional()
  @IsPlainText({ max: 100 }, { description: 'The same for volumes.', example: 'meter-2' })
  volumeOrigin?: string;
}

export class MixtureRequest {
  @NestedList(() => MixtureComponent, { min: 1, max: MAXIMUM_MIX_COMPONENTS })
  components!: MixtureComponent[];
}

export class MixtureResult extends StrengthResult {
  @ApiProperty({ type: LiquidResult })
  result!: LiquidResult;

  @ApiProperty({ type: Quantity, description: 'Result minus components, all at 20 °C.' })
  volumeChange!: Quantity;
}

const NAMES: Readonly<Record<string, string>> = { volume: 'components', pureAlcohol: 'components' };

/** An error of the whole points to its components. */
export const mixtureName = (name: string): string => NAMES[name] ?? name;

/** Signed contribution of each origin to the pure alcohol and to the volume of the result, litres. */
interface Effects {
  readonly pureAlcohol: Map<string, number>;
  readonly volume: Map<string, number>;
}

/** Half-width of a strength of which nothing more is stated, % vol; common practice, no source. */
const STATED_HALF_WIDTH_PERCENT = 0.3;

const unstatedStrengthU = ({ strength }: MixtureComponent): number =>
  baseOf('fraction', strength) === 0 ? 0 : rectangular(STATED_HALF_WIDTH_PERCENT);

const UNSTATED =
  'Where no uncertainty was stated, ± 0.3 % vol of the strength and ± 1 % of the volume are taken (common practice, no source).';

const isStated = ({ strengthStandardUncertainty: s, volumeStandardUncertainty: v }: MixtureComponent): boolean =>
  s !== undefined && v !== undefined;

function effectsOf(components: readonly MixtureComponent[], { sensitivities, densityModelL }: Mixture): Effects {
  const effects: Effects = { pureAlcohol: new Map(), volume: new Map() };
  const put = (origin: string, pureAlcoholL: number, volumeL: number): void => {
    effects.pureAlcohol.set(origin, (effects.pureAlcohol.get(origin) ?? 0) + pureAlcoholL);
    effects.volume.set(origin, (effects.volume.get(origin) ?? 0) + volumeL);
  };
  components.forEach((component, i) => {
    const { pureAlcohol, volume } = sensitivities[i];
    const uStrength = baseOf('fraction', component.strengthStandardUncertainty) ?? unstatedStrengthU(component);
    if (uStrength !== 0) {
      const origin = component.strengthOrigin ?? `component ${i + 1}`;
      put(`strength/${origin}`, pureAlcohol.perStrengthPercent * uStrength, volume.perStrengthPercent * uStrength);
    }
    const uVolume =
      baseOf('volume', component.volumeStandardUncertainty) ??
      DEFAULTS.dipOrSightGlass.standardUncertainty * baseOf('volume', component.volume);
    if (uVolume !== 0) {
      const origin = component.volumeOrigin ?? `component ${i + 1}`;
      put(`volume/${origin}`, pureAlcohol.perVolumeL * uVolume, volume.perVolumeL * uVolume);
    }
  });
  if (densityModelL !== 0) put(DRINK_DENSITY_ORIGIN, 0, densityModelL);
  return effects;
}

/** Computes the mixture of known volumes, with the uncertainty of its strength. */
export function mixture({ components }: MixtureRequest): MixtureResult {
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
    ...toStrengthResult({
      ...finding,
      warnings: [
        ...new Set([...(components.every(isStated) ? [] : [UNSTATED]), ...mixed.warnings, ...finding.warnings]),
      ],
    }),
    result: toLiquidResult(mixed),
    volumeChange: quantityOf(mixed.volumeChangeL, 'L'),
  };
}
