import type { InputQuantity } from '../../metrology/uncertainty.js';
import { sucroseSolutionPartials } from '../liquids/sugar-solution.js';
import { kellWaterSlope } from '../liquids/water.js';
import { conventionDifferencePlato, type Composition } from './composition.js';
import {
  DEFAULTS,
  defaultGravityComponent,
  defaultTemperatureComponent,
  unknownTemperatureComponent,
} from './defaults.js';
import { addComponents, addTerm, rectangular, type Budget, type UncertaintyComponent } from './finding.js';
import type { MassBalanceInput, MassBalancePoint, MeasuredGravity, ModelTerm } from './mass-balance-point.js';

/** The convention's term never falls below this half-width, °P: the smaller of the published differences. */
const CONVENTION_FLOOR_PLATO = 0.03;
/** Part of the model that an input of the budget affects. */
export type BudgetRole =
  'original-value' | 'original-temperature' | 'final-value' | 'final-temperature' | 'convention' | 'model';

/** A budget with the role of each input and its effect on it, in units of the value per unit of the input. */
export interface RoledBudget {
  readonly budget: Budget;
  readonly roles: { readonly role: BudgetRole; readonly sensitivity: number }[];
}

/** Derivatives of a result per °P of original extract, per kg/m3 of the final excess and per °P of the convention. */
export interface Slopes {
  readonly originalExtract: number;
  readonly excess: number;
  readonly convention: number;
}

/** Budget lines of the two gravities and their temperatures, for the result to which the slopes belong. */
export function gravityTerms(
  input: MassBalanceInput,
  point: MassBalancePoint,
  slopes: Omit<Slopes, 'convention'>,
): RoledBudget {
  const { original, final, composition } = point;
  const sugar = sucroseSolutionPartials(point.originalExtract / 100, original.temperatureC);
  const perDensity = (slopes.originalExtract * 100) / sugar.perMassFraction;
  const waterAndDrink = kellWaterSlope(final.temperatureC) + composition.excessPerKelvin;
  const into: RoledBudget = { budget: { inputs: [], sensitivities: [] }, roles: [] };
  const add = (role: BudgetRole, value: number, components: readonly UncertaintyComponent[], slope: number): void => {
    addComponents(into.budget, { value, components, unit: role.endsWith('temperature') ? 'Cel' : undefined }, slope);
    for (const { sensitivity = 1 } of components) into.roles.push({ role, sensitivity });
  };
  const { value: originalValue, scale: originalScale, ...o } = input.original;
  const { value: finalValue, scale: finalScale, ...f } = input.final;
  add(
    'original-value',
    originalValue,
    o.components ?? [defaultGravityComponent(originalScale, 'original gravity')],
    perDensity * original.perScaleUnit,
  );
  add(
    'original-temperature',
    original.temperatureC,
    temperatureComponentsOf(input.original, 'original gravity temperature'),
    perDensity * (original.perKelvin - sugar.perKelvin),
  );
  add(
    'final-value',
    finalValue,
    f.components ?? [defaultGravityComponent(finalScale, 'final gravity')],
    slopes.excess * final.perScaleUnit,
  );
  add(
    'final-temperature',
    final.temperatureC,
    temperatureComponentsOf(input.final, 'final gravity temperature'),
    slopes.excess * (final.perKelvin - waterAndDrink),
  );
  return into;
}

/** Components of the temperature of a gravity: as given, or ± 0.5 °C for one that was read, ± 5 °C about the scale's for one that was not. */
export function temperatureComponentsOf(gravity: MeasuredGravity, role: string): readonly UncertaintyComponent[] {
  const { sampleTemperatureC, temperatureComponents } = gravity;
  if (temperatureComponents !== undefined) return temperatureComponents;
  return [sampleTemperatureC === undefined ? unknownTemperatureComponent(role) : defaultTemperatureComponent(role)];
}

/** The whole budget of the mass balance; `perModel` is the change of the result per unit of the model term. */
export function massBalanceTerms(
  input: MassBalanceInput,
  point: MassBalancePoint,
  slopes: Slopes,
  perModel: number,
): RoledBudget {
  const into = gravityTerms(input, point, slopes);
  addTerm(into.budget, conventionInput(point.composition), slopes.convention);
  into.roles.push({ role: 'convention', sensitivity: 1 });
  addTerm(into.budget, modelInput(input.model), perModel);
  into.roles.push({ role: 'model', sensitivity: 1 });
  return into;
}

function conventionInput({ alcohol, extract }: Composition): InputQuantity {
  const halfWidth = Math.max(CONVENTION_FLOOR_PLATO, Math.abs(conventionDifferencePlato(alcohol, extract)));
  return {
    name: 'Tabarié, made up to mass or to volume',
    value: 0,
    standardUncertainty: rectangular(halfWidth),
    distribution: 'rectangular',
    origin: 'tabarie-convention',
    unit: '°P',
  };
}

/** The model term: certificate pairs, a bias learned from certificates, or the stated default by kind of wash. */
export function modelInput(model: ModelTerm | undefined): InputQuantity {
  if (model?.kind === 'pairs') {
    return {
      name: 'model, from certificate pairs',
      value: model.relativeBias,
      standardUncertainty: model.relativeStandardUncertainty,
      degreesOfFreedom: model.degreesOfFreedom,
      origin: model.origin,
      unit: '1',
    };
  }
  if (model?.kind === 'certificates') {
    return {
      name: `model, learned from ${model.certificates} ${model.certificates === 1 ? 'certificate' : 'certificates'}`,
      value: model.relativeBias,
      standardUncertainty: model.relativeStandardUncertainty,
      origin: model.origin,
      unit: '1',
    };
  }
  const kind = model?.kind ?? 'sugar';
  const stated = kind === 'malt' ? DEFAULTS.modelMalt : DEFAULTS.modelSugar;
  return {
    name: `model, stated default for ${kind}`,
    value: 0,
    standardUncertainty: stated.standardUncertainty,
    origin: model?.origin ?? `default/model/${kind}`,
    unit: '1',
  };
}
