import { sucroseSolutionPartials } from '../liquids/sugar-solution.js';
import type { Addition } from './additions.js';
import { asOriginalGravity, effectiveOriginalExtract } from './additions.js';
import { defaultGravityComponent } from './defaults.js';
import type { UncertaintyComponent } from './finding.js';
import { temperatureComponentsOf } from './mass-balance-budget.js';
import type { MeasuredGravity } from './mass-balance-point.js';
import { evaluatePoint } from './mass-balance-point.js';

/**
 * Original gravity of a wash including everything that was added while it fermented, on the plato scale at 20 °C.
 *
 * The gravity as read becomes extract at its own temperature with the exact slopes of ICUMSA SPS-4; the additions weigh in as in
 * `effectiveOriginalExtract`, whose source, range and stated error hold. Without additions the gravity is returned as it is.
 * @throws MetrologyError out of range; more than 100 additions.
 */
export function effectiveOriginalGravity(original: MeasuredGravity, additions: readonly Addition[]): MeasuredGravity {
  if (additions.length === 0) {
    return original;
  }
  const point = evaluatePoint({ original, final: original });
  const { temperatureC, perScaleUnit, perKelvin } = point.original;
  const sugar = sucroseSolutionPartials(point.originalExtract / 100, temperatureC);
  const perDensity = 100 / sugar.perMassFraction;
  const through = (components: readonly UncertaintyComponent[], slope: number): UncertaintyComponent[] =>
    components.map((each) => ({ ...each, sensitivity: (each.sensitivity ?? 1) * slope }));
  const components = [
    ...through(
      original.components ?? [defaultGravityComponent(original.scale, 'original gravity')],
      perDensity * perScaleUnit,
    ),
    ...through(
      temperatureComponentsOf(original, 'original gravity temperature'),
      perDensity * (perKelvin - sugar.perKelvin),
    ),
  ];
  return asOriginalGravity(effectiveOriginalExtract({ value: point.originalExtract, components }, additions));
}
