import { requireCount } from '../../metrology/problem.js';
import { drinkPartials } from '../liquids/drink.js';
import { ETHANOL_DENSITY_20_KG_M3 } from '../liquids/ethanol-water.js';
import {
  addMasses,
  densityModelL,
  liquidOfMasses,
  liquidOfVolume,
  partialVolumes,
  type Liquid,
  type LiquidSpec,
  type Masses,
} from '../liquids/liquid.js';
import { cautions } from './to-strength.js';

export interface MixComponent extends LiquidSpec {
  /** At 20 °C, 0 to 10⁹ L. */
  readonly volumeL: number;
  readonly name?: string;
}

/** Partial derivatives of one figure of the result with respect to the inputs of one component; exact. */
interface Sensitivity {
  readonly perVolumeL: number;
  readonly perStrengthPercent: number;
  /** Zero where the component's density was measured. */
  readonly perExtractPlato: number;
  /** Zero where the density was computed. */
  readonly perDensityKgM3: number;
}

interface ComponentSensitivities {
  /** % vol per unit of the input. */
  readonly strength: Sensitivity;
  /** L per unit of the input. */
  readonly volume: Sensitivity;
  /** L of pure alcohol per unit of the input. */
  readonly pureAlcohol: Sensitivity;
}

export interface Mixture extends Liquid {
  readonly components: readonly Liquid[];
  /** Result minus inputs at 20 °C, L. */
  readonly volumeChangeL: number;
  /** Effect of the density formula's own error on the volume, L per standard uncertainty, signed; its origin is `DRINK_DENSITY_ORIGIN`. */
  readonly densityModelL: number;
  /** In the order of the components. */
  readonly sensitivities: readonly ComponentSensitivities[];
  readonly warnings: readonly string[];
}

export const MAXIMUM_MIX_COMPONENTS = 50;
const ETHANOL_KG_PER_L = ETHANOL_DENSITY_20_KG_M3 / 1000;

/**
 * Mixture of liquids. Mass, pure alcohol and extract are conserved; the volume follows from the density of the result.
 *
 * 1 to 50 components, strengths 0 to 100 % vol, extract −5 to 60 °P, volumes at 20 °C. Error: of the density of a drink, see
 * `drinkDensityByMassKgM3`; without extract 0.01 % of the volume. Source: OIML R 22, Tabarié made up to volume with ICUMSA SPS-4.
 * @throws MetrologyError `too-few`, `too-many`, `out-of-range`, `not-finite`, `contradictory`
 */
export function mix(components: readonly MixComponent[]): Mixture {
  requireCount('components', components.length, 1, MAXIMUM_MIX_COMPONENTS);
  const named = components.map((component, i) => component.name ?? `components.${i}`);
  const liquids = components.map((component, i) => liquidOfVolume(component.volumeL, component, named[i]));
  const result = liquidOfMasses(addMasses(...liquids));
  return {
    ...result,
    components: liquids.map(({ warnings: _warnings, ...liquid }) => liquid),
    volumeChangeL: liquids.reduce((change, liquid) => change - liquid.volumeL, result.volumeL),
    densityModelL: densityModelL(
      liquids.filter((_, i) => components[i].densityKgM3 === undefined),
      result,
    ),
    sensitivities: components.map((component) => sensitivitiesOf(component, result)),
    warnings: [...liquids.flatMap((liquid) => liquid.warnings), ...cautions(components, result.strengthPercent)],
  };
}

/** Change of the conserved masses per unit of each input of a component, at its volume. */
interface MassSlopes {
  readonly volume: Masses;
  readonly strength: Masses;
  readonly extract: Masses;
  readonly density: Masses;
}

const NOTHING: Masses = { massKg: 0, alcoholKg: 0, extractKg: 0 };

function massSlopes(component: MixComponent): MassSlopes {
  const one = liquidOfVolume(1, component);
  const { massKg, alcoholKg, extractKg, densityKgM3: density, extractPlato: extract } = one;
  const alcohol = alcoholKg / massKg;
  const slopes = drinkPartials({ alcoholMassFraction: alcohol, extractPlato: extract }, 20);
  const volume = { massKg, alcoholKg, extractKg };
  const alcoholPerStrength = ETHANOL_KG_PER_L / 100;
  if (component.densityKgM3 !== undefined) {
    // The mass is measured, so the extract follows from the alcohol: w(ρ, a) from Tabarié.
    const extractPerStrength =
      (-slopes.perAlcoholMassFraction * (alcoholPerStrength / massKg)) / slopes.perExtractPlato;
    const extractPerDensity = (1 + slopes.perAlcoholMassFraction * (alcohol / density)) / slopes.perExtractPlato;
    return scaled(component.volumeL, {
      volume,
      strength: { massKg: 0, alcoholKg: alcoholPerStrength, extractKg: (massKg * extractPerStrength) / 100 },
      extract: NOTHING,
      density: { massKg: 1e-3, alcoholKg: 0, extractKg: (1e-3 * extract + massKg * extractPerDensity) / 100 },
    });
  }
  // The alcohol by mass a solves a·ρ(a, w) = strength × density of ethanol.
  const stiffness = density + alcohol * slopes.perAlcoholMassFraction;
  const alcoholPerPlato = (-alcohol * slopes.perExtractPlato) / stiffness;
  const massPerStrength = (slopes.perAlcoholMassFraction * (ETHANOL_DENSITY_20_KG_M3 / 100 / stiffness)) / 1000;
  const massPerPlato = (slopes.perExtractPlato + slopes.perAlcoholMassFraction * alcoholPerPlato) / 1000;
  return scaled(component.volumeL, {
    volume,
    strength: {
      massKg: massPerStrength,
      alcoholKg: alcoholPerStrength,
      extractKg: (massPerStrength * extract) / 100,
    },
    extract: { massKg: massPerPlato, alcoholKg: 0, extractKg: (massPerPlato * extract + massKg) / 100 },
    density: NOTHING,
  });
}

/** Strength, extract and density act on the whole volume of the component; its volume acts on a litre. */
function scaled(volumeL: number, perLitre: MassSlopes): MassSlopes {
  const times = ({ massKg, alcoholKg, extractKg }: Masses): Masses => ({
    massKg: volumeL * massKg,
    alcoholKg: volumeL * alcoholKg,
    extractKg: volumeL * extractKg,
  });
  return {
    volume: perLitre.volume,
    strength: times(perLitre.strength),
    extract: times(perLitre.extract),
    density: times(perLitre.density),
  };
}

function sensitivitiesOf(component: MixComponent, result: Liquid): ComponentSensitivities {
  const zero = { perVolumeL: 0, perStrengthPercent: 0, perExtractPlato: 0, perDensityKgM3: 0 };
  if (result.massKg === 0) return { strength: zero, volume: zero, pureAlcohol: zero };
  const slopes = massSlopes(component);
  const partial = partialVolumes(result);
  const volumeBy = (change: Masses): number =>
    partial.perMassKg * change.massKg +
    partial.perAlcoholKg * change.alcoholKg +
    partial.perExtractKg * change.extractKg;
  const alcoholBy = (change: Masses): number => change.alcoholKg / ETHANOL_KG_PER_L;
  const strengthBy = (change: Masses): number =>
    (100 * alcoholBy(change) - result.strengthPercent * volumeBy(change)) / result.volumeL;
  return { strength: over(slopes, strengthBy), volume: over(slopes, volumeBy), pureAlcohol: over(slopes, alcoholBy) };
}

function over(slopes: MassSlopes, by: (change: Masses) => number): Sensitivity {
  return {
    perVolumeL: by(slopes.volume),
    perStrengthPercent: by(slopes.strength),
    perExtractPlato: by(slopes.extract),
    perDensityKgM3: by(slopes.density),
  };
}
