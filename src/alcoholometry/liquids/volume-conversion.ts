import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { massFromWeighingKg, weighingFromMassKg } from './air-buoyancy.js';
import { drinkDensityByMassKgM3, hotWortVolumeAt20L } from './drink.js';
import { ETHANOL_DENSITY_20_KG_M3, ethanolWaterDensityKgM3, massFractionFromVolumePercent } from './ethanol-water.js';
import { compositionOf, MAXIMUM_VOLUME_L, type LiquidSpec } from './liquid.js';
import { sucroseSolutionDensityKgM3 } from './sugar-solution.js';

/** Kind of liquid; it determines the density and its change with temperature. */
export type VolumeLiquid =
  | { readonly kind: 'alcohol-water'; readonly strengthPercent: number }
  | ({ readonly kind: 'drink' } & LiquidSpec)
  | { readonly kind: 'wort'; readonly extractPlato: number };

/** Exactly one is given. */
interface KnownAmount {
  /** L at `temperatureC` */
  readonly volumeL?: number;
  /** L at 20 °C */
  readonly volumeAt20L?: number;
  /** true mass, kg */
  readonly massKg?: number;
  /** as a scale shows it in air, kg */
  readonly weighedKg?: number;
}

interface VolumeInput extends KnownAmount {
  readonly liquid: VolumeLiquid;
  /** −20–40 °C (alcohol–water), 0–40 (drink), 0–100 (wort); 20 by default */
  readonly temperatureC?: number;
}

/** One amount of liquid as volume, volume at 20 °C and mass. */
interface VolumeConversion {
  readonly volumeL: number;
  readonly volumeAt20L: number;
  readonly massKg: number;
  readonly weighedKg: number;
  readonly densityKgM3: number;
  readonly densityAt20KgM3: number;
  readonly pureAlcoholL: number;
  readonly warnings: readonly string[];
}

interface Densities {
  readonly atTemperature: number;
  readonly at20: number;
  readonly alcoholMassFraction: number;
  readonly warnings: readonly string[];
}

const SCALDING_C = 45;

/**
 * Volume at 20 °C from a volume at a temperature, from a mass or from a weighing in air, and back.
 *
 * Mass is conserved: V20 = V ρ(t) / ρ(20). Alcohol–water by OIML R 22 (1e-5 relative), a drink by Tabarié over R 22 and ICUMSA SPS-4
 * (2e-5 relative for 20 K; kg into litres within the density's 0.5 kg/m³ unless it is measured), wort by ICUMSA SPS-4 to 100 °C (0.05 %).
 * Amounts to 10⁹. Weighing: air 1.2, weights 8000 kg/m³, at the liquid's temperature. The expansion of the vessel is not included.
 * @throws MetrologyError `contradictory` where not exactly one amount is given, `out-of-range`, `frozen`, `not-finite`
 */
export function convertVolume(input: VolumeInput): VolumeConversion {
  const { liquid, temperatureC = 20 } = input;
  const { atTemperature, at20, alcoholMassFraction, warnings } = densitiesOf(liquid, temperatureC);
  const massKg = massOf(input, atTemperature, at20);
  const hot = temperatureC >= SCALDING_C ? ['Hot liquid scalds: read it without touching it.'] : [];
  return {
    volumeL: (1000 * massKg) / atTemperature,
    volumeAt20L: (1000 * massKg) / at20,
    massKg,
    weighedKg: weighingFromMassKg(massKg, atTemperature),
    densityKgM3: atTemperature,
    densityAt20KgM3: at20,
    pureAlcoholL: (1000 * massKg * alcoholMassFraction) / ETHANOL_DENSITY_20_KG_M3,
    warnings: [...warnings, ...hot],
  };
}

function densitiesOf(liquid: VolumeLiquid, temperatureC: number): Densities {
  switch (liquid.kind) {
    case 'alcohol-water': {
      const alcoholMassFraction = massFractionFromVolumePercent(liquid.strengthPercent);
      return {
        atTemperature: ethanolWaterDensityKgM3(alcoholMassFraction, temperatureC),
        at20: ethanolWaterDensityKgM3(alcoholMassFraction, 20),
        alcoholMassFraction,
        warnings: [],
      };
    }
    case 'drink': {
      requireInRange('temperature', temperatureC, 0, 40, 'Cel');
      const { warnings, ...composition } = compositionOf(liquid, 'drink');
      const modelAt20 = drinkDensityByMassKgM3(composition, 20);
      // A measured density keeps its own value; the model only says how it changes with temperature.
      const at20 = liquid.densityKgM3 ?? modelAt20;
      return {
        atTemperature: (at20 * drinkDensityByMassKgM3(composition, temperatureC)) / modelAt20,
        at20,
        alcoholMassFraction: composition.alcoholMassFraction,
        warnings,
      };
    }
    case 'wort': {
      const at20 = sucroseSolutionDensityKgM3(requireInRange('extract', liquid.extractPlato, 0, 60, '°P') / 100, 20);
      return {
        atTemperature: at20 * hotWortVolumeAt20L(1, temperatureC, liquid.extractPlato),
        at20,
        alcoholMassFraction: 0,
        warnings: [],
      };
    }
    default:
      throw new MetrologyError('unknown-liquid', 'The liquid is not in the list.', {
        pointer: 'liquid',
        allowed: ['alcohol-water', 'drink', 'wort'],
      });
  }
}

function massOf({ volumeL, volumeAt20L, massKg, weighedKg }: KnownAmount, atTemperature: number, at20: number): number {
  const given = [volumeL, volumeAt20L, massKg, weighedKg].filter((amount) => amount !== undefined);
  if (given.length !== 1) {
    throw new MetrologyError('contradictory', 'Give exactly one of volume, volumeAt20, mass and weighedMass.', {
      pointer: 'volume',
    });
  }
  if (volumeL !== undefined)
    return (requireInRange('volume', volumeL, 0, MAXIMUM_VOLUME_L, 'L') * atTemperature) / 1000;
  if (volumeAt20L !== undefined) {
    return (requireInRange('volumeAt20', volumeAt20L, 0, MAXIMUM_VOLUME_L, 'L') * at20) / 1000;
  }
  if (massKg !== undefined) return requireInRange('mass', massKg, 0, 1e9, 'kg');
  return massFromWeighingKg(requireInRange('weighedMass', weighedKg ?? NaN, 0, 1e9, 'kg'), atTemperature);
}
