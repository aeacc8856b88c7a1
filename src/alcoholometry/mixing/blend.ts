import { MetrologyError, requireCount, requireInRange } from '../../metrology/problem.js';
import { blendAtLimits } from './blend-limits.js';
import { solveTarget, type BlendModel, type ModelComponent } from './blend-model.js';
import { liquidOfVolume, MAXIMUM_VOLUME_L, type Liquid, type LiquidSpec } from '../liquids/liquid.js';
import { loadLinearSolver, type LinearSolve } from './solver.js';
import { cautions } from './to-strength.js';

interface BlendComponent extends LiquidSpec {
  /** Unique in the blend, not empty. */
  readonly name: string;
  /** L at 20 °C that can be drawn, 0 to 10⁹. */
  readonly availableL: number;
  /** L at 20 °C that must be drawn; zero by default, at most what is available. */
  readonly minimumL?: number;
  /** Money or any weight per litre, 0 and up; given for all components or for none. */
  readonly costPerL?: number;
}

export interface BlendInput {
  readonly components: readonly BlendComponent[];
  readonly target: { readonly volumeL: number; readonly strengthPercent: number };
}

interface BlendDraw {
  readonly name: string;
  readonly volumeL: number;
  readonly massKg: number;
  readonly pureAlcoholL: number;
  /** Volume that remains of the component. */
  readonly remainingL: number;
}

export interface Blend {
  /** In the order of the components; a component that is not used has zero. */
  readonly draw: readonly BlendDraw[];
  readonly result: Liquid;
  readonly strengthPercent: number;
  /** Result minus draws at 20 °C, L. */
  readonly volumeChangeL: number;
  /** Description of the objective that was minimised. */
  readonly objective: string;
  readonly warnings: readonly string[];
}

/** Name, version and source of the method, for the answer. */
export const BLEND_METHOD = {
  id: 'blend-linear-program',
  version: '1.0.0',
  source: 'OIML R 22 (1975), Tabarié with ICUMSA SPS-4 (1998); linear program in mass, solver HiGHS',
} as const;

export const MINIMUM_BLEND_COMPONENTS = 2;
export const MAXIMUM_BLEND_COMPONENTS = 10;
/** Strength and volume of the result are met to this, relative; the solver is far inside it. */
const BLEND_TOLERANCE = 1e-6;

/**
 * Volumes to draw from lots for a wanted volume and strength, within the bounds of each lot. Loads the solver once. Ranges, error, source
 * and refusals: see `blendWith`.
 */
export async function blend(input: BlendInput): Promise<Blend> {
  return blendWith(input, await loadLinearSolver());
}

/**
 * Volumes to draw from lots, by a linear program in mass. Pure alcohol, mass and extract are conserved; volumes are not.
 *
 * The volume of the result is linear in the masses through its partial volumes at the blend's own composition, which is iterated until it
 * converges. Of all draws that reach the target it chooses the one with the least cost, where every component has a cost. Otherwise it
 * minimises Σ strength² × volume: as the pure alcohol is fixed, that draws first from lots near the target and keeps the strongest.
 *
 * 2 to 10 components, 0 to 100 % vol, −5 to 60 °P, volumes at 20 °C. Result within 1e-6 relative of volume and strength; lots of
 * practically equal strength may differ from it by up to 0.005 % vol, with a warning. Error: of the density of a drink, see
 * `drinkDensityByMassKgM3`. Source: OIML R 22, Tabarié, ICUMSA SPS-4.
 * @throws MetrologyError `too-few`, `too-many`, `duplicate`, `contradictory` (minimum above available, a cost for some only),
 *   `out-of-range`, `not-finite`, `no-solution` with the plain reason and, in its details, `nearestStrengthPercent` at that volume,
 *   `nearestVolumeL` at that strength (each null where there is none) and `reason`
 */
export function blendWith(input: BlendInput, solve: LinearSolve): Blend {
  const model = checked(input);
  const solution = solveTarget(model, solve) ?? blendAtLimits(model, solve);
  const { result, massesKg } = solution;
  const draw = model.components.map(({ name, litresPerKg, alcoholFraction, availableL }, i): BlendDraw => ({
    name,
    volumeL: Math.min(availableL, massesKg[i] * litresPerKg),
    massKg: massesKg[i],
    pureAlcoholL: massesKg[i] * alcoholFraction * model.litresPerKgAlcohol,
    remainingL: Math.max(0, availableL - massesKg[i] * litresPerKg),
  }));
  return {
    draw,
    result,
    strengthPercent: result.strengthPercent,
    volumeChangeL: draw.reduce((change, { volumeL }) => change - volumeL, result.volumeL),
    objective: model.objective,
    warnings: [
      ...model.warnings,
      ...missed(result, input.target),
      ...cautions(input.components, input.target.strengthPercent),
    ],
  };
}

/** Warning where lots of equal strength differ from the target by a few thousandths. */
function missed({ strengthPercent: found }: Liquid, { strengthPercent: wanted }: BlendInput['target']): string[] {
  if (Math.abs(found - wanted) <= BLEND_TOLERANCE * wanted + 1e-9) return [];
  return [`These lots have practically one strength: the blend comes out at ${found.toFixed(4)} % vol, not ${wanted}.`];
}

function checked({ components, target }: BlendInput): BlendModel {
  requireCount('components', components.length, MINIMUM_BLEND_COMPONENTS, MAXIMUM_BLEND_COMPONENTS);
  requireInRange('target.volume', target.volumeL, 1e-6, MAXIMUM_VOLUME_L, 'L');
  requireInRange('target.strength', target.strengthPercent, 0, 100, '% vol');
  refuseNames(components);
  const priced = components.filter(({ costPerL }) => costPerL !== undefined).length;
  if (priced !== 0 && priced !== components.length) {
    throw new MetrologyError('contradictory', 'Give a cost for every component or for none.', {
      pointer: 'components',
    });
  }
  const warnings: string[] = [];
  const built = components.map((component, i): ModelComponent => {
    const pointer = `components.${i}`;
    const availableL = requireInRange(`${pointer}.available`, component.availableL, 0, MAXIMUM_VOLUME_L, 'L');
    const minimumL = requireInRange(`${pointer}.minimum`, component.minimumL ?? 0, 0, MAXIMUM_VOLUME_L, 'L');
    if (minimumL > availableL) {
      throw new MetrologyError(
        'contradictory',
        `${component.name}: the minimum of ${minimumL} L is above the ${availableL} L available.`,
        { pointer: `${pointer}.minimum`, range: [0, availableL], unit: 'L', value: minimumL },
      );
    }
    if (priced > 0) requireInRange(`${pointer}.cost`, component.costPerL ?? 0, 0, 1e9);
    const litre = liquidOfVolume(1, component, pointer);
    warnings.push(...litre.warnings);
    return {
      name: component.name,
      strengthPercent: component.strengthPercent,
      availableL,
      minimumL,
      litresPerKg: 1 / litre.massKg,
      alcoholFraction: litre.alcoholKg / litre.massKg,
      extractFraction: litre.extractKg / litre.massKg,
    };
  });
  const weightPerL = components.map(({ costPerL, strengthPercent }) => costPerL ?? (strengthPercent / 100) ** 2);
  const largest = Math.max(...weightPerL, Number.MIN_VALUE);
  return {
    components: built,
    targetVolumeL: target.volumeL,
    targetStrengthPercent: target.strengthPercent,
    litresPerKgAlcohol:
      liquidOfVolume(1, { strengthPercent: 100 }).volumeL / liquidOfVolume(1, { strengthPercent: 100 }).massKg,
    costPerKg: built.map(({ litresPerKg }, i) => (weightPerL[i] / largest) * litresPerKg),
    objective:
      priced > 0
        ? 'least cost'
        : 'least sum of strength squared times volume: nearest to the target first, the strongest spared',
    warnings,
  };
}

function refuseNames(components: readonly BlendComponent[]): void {
  const seen = new Set<string>();
  components.forEach(({ name }, i) => {
    const key = name.trim();
    if (key === '') {
      throw new MetrologyError('empty-name', 'A component needs a name.', { pointer: `components.${i}.name` });
    }
    if (seen.has(key)) {
      throw new MetrologyError('duplicate', `Two components have the name ${key}.`, {
        pointer: `components.${i}.name`,
      });
    }
    seen.add(key);
  });
}
