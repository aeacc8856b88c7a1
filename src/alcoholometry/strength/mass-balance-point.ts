import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { densityMark, MAX_EXTRACT_PLATO, scaleReferenceTemperatureC, type Gravity } from '../liquids/gravity-scales.js';
import { GLASS_EXPANSION_PER_K } from '../hydrometry/hydrometer.js';
import { snapToEdge } from '../liquids/range-edge.js';
import { sucroseMassFractionFromDensity } from '../liquids/sugar-solution.js';
import { kellWaterKgM3 } from '../liquids/water.js';
import { extractPerAlcohol, solveComposition, type Composition, type ExtractShares } from './composition.js';
import type { UncertaintyComponent } from './finding.js';

/** A gravity as read. Without a sample temperature it is taken as at its scale's temperature, ± 5 °C. */
export interface MeasuredGravity extends Gravity {
  readonly sampleTemperatureC?: number;
  /** in units of the scale; ± one point, rectangular, by default */
  readonly components?: readonly UncertaintyComponent[];
  /** in °C; by default ± 0.5 °C, rectangular, or ± 5 °C where no temperature was read; none for a value that is exact in it */
  readonly temperatureComponents?: readonly UncertaintyComponent[];
}

/** Error of the mass balance for this recipe: a stated default by kind of wash, the result of certificate pairs, or a bias learned from certificates. */
export type ModelTerm =
  | { readonly kind: 'malt' | 'sugar'; readonly origin?: string }
  | {
      readonly kind: 'pairs';
      readonly origin: string;
      /** certificate over mass balance, less one */
      readonly relativeBias: number;
      readonly relativeStandardUncertainty: number;
      readonly degreesOfFreedom: number;
    }
  | {
      readonly kind: 'certificates';
      readonly origin: string;
      /** certificate over mass balance, less one, as learned */
      readonly relativeBias: number;
      readonly relativeStandardUncertainty: number;
      readonly certificates: number;
      readonly certificatesOfRecipe: number;
    };

/** Relative bias of a model term; none for a stated default. */
export const biasOf = (model: ModelTerm | undefined): number =>
  model !== undefined && 'relativeBias' in model ? requireInRange('relativeBias', model.relativeBias, -0.5, 0.5) : 0;

export interface MassBalanceInput {
  readonly original: MeasuredGravity;
  readonly final: MeasuredGravity;
  /** the default for sugar washes, the larger one, by default */
  readonly model?: ModelTerm;
  /** Shares of the extract that were sucrose and dextrose; that of malt by default. Sucrose gives 4 to 5 % more alcohol at the same gravities. */
  readonly shares?: ExtractShares;
  /** 1/K; 25e-6 by default */
  readonly glassExpansionPerK?: number;
}

/** Negative alcohol, % by mass, that is only rounding. */
const ROUNDING_PERCENT = 1e-9;

/** Everything known at the measured point, before uncertainty. */
export interface MassBalancePoint {
  readonly original: ReadGravity;
  readonly final: ReadGravity;
  /** °P */
  readonly originalExtract: number;
  readonly composition: Composition;
  /** g of extract a g of alcohol */
  readonly perAlcohol: number;
  readonly bias: number;
}

/** A gravity as density, with its derivatives. */
interface ReadGravity {
  readonly temperatureC: number;
  readonly densityKgM3: number;
  /** kg/m3 per unit of the scale */
  readonly perScaleUnit: number;
  /** kg/m3 per K, from the glass alone */
  readonly perKelvin: number;
}

/**
 * Reads both gravities and solves the composition; refuses impossible readings. Also for other methods that need the composition.
 */
export function evaluatePoint(input: MassBalanceInput): MassBalancePoint {
  const glass = input.glassExpansionPerK ?? GLASS_EXPANSION_PER_K;
  requireInRange('glassExpansion', glass, 0, 1e-4, 'K-1');
  const original = readGravity('originalGravity', input.original, glass);
  const final = readGravity('finalGravity', input.final, glass);
  const extractOf = ({ densityKgM3, temperatureC }: ReadGravity): number =>
    100 * sucroseMassFractionFromDensity(densityKgM3, temperatureC);
  const originalExtract = snapToEdge(
    pointingTo('originalGravity', () => extractOf(original)),
    0,
    MAX_EXTRACT_PLATO,
  );
  requireInRange('originalGravity', originalExtract, 0, MAX_EXTRACT_PLATO, '°P');
  // The final reading must also lie within the sucrose scale.
  pointingTo('finalGravity', () => extractOf(final));
  const excess = final.densityKgM3 - kellWaterKgM3(final.temperatureC);
  const perAlcohol = extractPerAlcohol(input.shares);
  const composition = solveComposition(originalExtract, excess, final.temperatureC, perAlcohol);
  if (composition.alcohol < -ROUNDING_PERCENT) {
    throw new MetrologyError('final-above-original', 'The final gravity lies above the original gravity.', {
      pointer: 'finalGravity',
    });
  }
  const model = input.model;
  return {
    original,
    final,
    originalExtract,
    composition,
    perAlcohol,
    bias: biasOf(model),
  };
}

/** Extract of a gravity as read, °P, by the temperature of its sample. @throws MetrologyError outside the sucrose scale */
export function extractPlatoOf(gravity: MeasuredGravity): number {
  const { densityKgM3, temperatureC } = readGravity('gravity', gravity, GLASS_EXPANSION_PER_K);
  return 100 * sucroseMassFractionFromDensity(densityKgM3, temperatureC);
}

function readGravity(name: string, gravity: MeasuredGravity, glass: number): ReadGravity {
  const referenceC = scaleReferenceTemperatureC(gravity.scale);
  const temperatureC = gravity.sampleTemperatureC ?? referenceC;
  requireInRange(`${name}.sampleTemperature`, temperatureC, 0, 40, 'Cel');
  const mark = pointingTo(name, () => densityMark(gravity));
  const growth = 1 - glass * (temperatureC - referenceC);
  return {
    temperatureC,
    densityKgM3: mark.densityKgM3 * growth,
    perScaleUnit: mark.perScaleUnit * growth,
    perKelvin: -glass * mark.densityKgM3,
  };
}

/** Names the gravity in the refusal, which the scale's own check cannot know. */
function pointingTo<T>(name: string, compute: () => T): T {
  try {
    return compute();
  } catch (error) {
    if (!(error instanceof MetrologyError)) throw error;
    const pointer = error.details.pointer === undefined ? name : `${name}.${error.details.pointer}`;
    throw new MetrologyError(error.rule, error.message, { ...error.details, pointer });
  }
}
