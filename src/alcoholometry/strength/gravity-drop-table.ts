import { MetrologyError } from '../../metrology/problem.js';
import { propagate } from '../../metrology/uncertainty.js';
import { AIR_DENSITY_KG_M3 } from '../liquids/air-buoyancy.js';
import { specificGravity20FromDensity } from '../liquids/gravity-scales.js';
import { sucroseExcessPartials } from '../liquids/sugar-solution.js';
import { GRAVITY_DROP_FACTORS } from '../tables/gravity-drop-factors.js';
import { kellWaterKgM3 } from '../liquids/water.js';
import { apparentExtract, fermentedExcessKgM3 } from './composition.js';
import { addTerm, rectangular, type MethodDescriptor, type StrengthFinding } from './finding.js';
import { gravityTerms, modelInput } from './mass-balance-budget.js';
import { evaluatePoint, type MassBalanceInput } from './mass-balance-point.js';
import { readingWarnings } from './mass-balance.js';

const GRAVITY_DROP_TABLE: MethodDescriptor = {
  id: 'gravity-drop-table',
  version: '1.0.0',
  source: 'HMRC Notice 226, paragraph 30.3 (withdrawn February 2025)',
};

const LARGEST_DROP = 100.7;
const STEPS_PER_POINT = 10;
/** A drop that ends in half a tenth in decimals may be slightly smaller in binary. */
const BINARY_SLACK = 1e-6;
const FACTOR_HALF_DIGIT = 0.0005;
const WATER_IN_AIR = kellWaterKgM3(20) - AIR_DENSITY_KG_M3;

/** A strength by the factor table, with the drop that was used. */
interface GravityDropFinding extends StrengthFinding {
  /** points of specific gravity 20/20, before rounding */
  readonly dropPoints: number;
  /** rounded to 0.1 point, as the table requires */
  readonly roundedDropPoints: number;
  readonly factor: number;
}

/**
 * The factor of the table for a drop in points; the drop is rounded to 0.1 point first, half up.
 * @returns the rounded drop and its factor. Range 0–100.7. Source: HMRC Notice 226 ¶30.3.
 * @throws MetrologyError out of range, or `beyond-table` above 100.7: no factor is published there.
 */
export function gravityDropFactor(dropPoints: number): { roundedDropPoints: number; factor: number } {
  const rounded = Math.round(dropPoints * STEPS_PER_POINT + BINARY_SLACK) / STEPS_PER_POINT;
  if (rounded < 0) {
    throw new MetrologyError('final-above-original', 'The final gravity lies above the original gravity.', {
      pointer: 'finalGravity',
      range: [0, LARGEST_DROP],
    });
  }
  const row = GRAVITY_DROP_FACTORS.find(([, to]) => rounded <= to);
  if (row === undefined || !Number.isFinite(rounded)) {
    throw new MetrologyError('beyond-table', `The table ends at a drop of ${LARGEST_DROP} points.`, {
      pointer: 'originalGravity',
      range: [0, LARGEST_DROP],
      value: rounded,
    });
  }
  return { roundedDropPoints: rounded, factor: row[2] };
}

/**
 * Strength, % vol at 20 °C, from the drop in gravity by the published excise factor table.
 *
 * Both gravities are brought to 20/20 at 20 °C (original as sugar solution, final as the drink they imply), the drop is rounded to
 * 0.1 point and multiplied by its factor; nothing is rounded after that. Range: a drop of 0–100.7 points. Source: HMRC Notice
 * 226 ¶30.3. Stated error: one factor for every drink, so its model term is that of the mass balance (2.4 % malt, 3 % sugar);
 * beside it the drop's uncertainty, its rounding and the factor's last digit stand in the budget.
 * @throws MetrologyError as `gravityDropFactor`, and out of range.
 */
export function gravityDropTable(input: MassBalanceInput): GravityDropFinding {
  const point = evaluatePoint(input);
  const { composition, originalExtract } = point;
  const [sugar, perFraction] = sucroseExcessPartials(originalExtract / 100, 20);
  const finalExcess = fermentedExcessKgM3(composition.alcohol / 100, composition.extract, 20);
  const water = kellWaterKgM3(20);
  const dropPoints =
    1000 * (specificGravity20FromDensity(water + sugar) - specificGravity20FromDensity(water + finalExcess));
  const { roundedDropPoints, factor } = gravityDropFactor(dropPoints);

  const perPoint = (1000 * factor) / WATER_IN_AIR;
  const slopes = { originalExtract: (perPoint * perFraction) / 100, excess: -perPoint };
  const { budget } = gravityTerms(input, point, slopes);
  const dropUncertainty = propagate(dropPoints, budget.inputs, budget.sensitivities).standard / factor;
  addTerm(budget, roundingTerm(dropPoints), factor);
  addTerm(budget, factorTerm(factor), roundedDropPoints);
  const model = modelInput(input.model !== undefined && 'relativeBias' in input.model ? undefined : input.model);
  addTerm(budget, { ...model, origin: `gravity-drop-table/${model.origin}` }, roundedDropPoints * factor);

  return {
    strengthPercent: propagate(roundedDropPoints * factor, budget.inputs, budget.sensitivities),
    method: GRAVITY_DROP_TABLE,
    warnings: [...readingWarnings(input), ...stepWarnings(dropPoints, dropUncertainty)],
    dropPoints,
    roundedDropPoints,
    factor,
    originalExtractPlato: originalExtract,
    apparentExtractPlato: apparentExtract(composition.alcohol, composition.extract),
  };
}

function roundingTerm(dropPoints: number): Parameters<typeof addTerm>[1] {
  return {
    name: 'rounding of the drop to 0.1 point',
    value: dropPoints,
    standardUncertainty: rectangular(0.5 / STEPS_PER_POINT),
    distribution: 'rectangular',
    origin: 'gravity-drop-table/rounding',
  };
}

function factorTerm(factor: number): Parameters<typeof addTerm>[1] {
  return {
    name: 'factor, printed to three decimals',
    value: factor,
    standardUncertainty: rectangular(FACTOR_HALF_DIGIT),
    distribution: 'rectangular',
    origin: 'gravity-drop-table/factor',
  };
}

/**
 * Warning near a step of the table: a small change of the reading changes the factor, and perhaps the tenth after truncation for duty.
 */
function stepWarnings(dropPoints: number, uncertainty: number): string[] {
  const near = GRAVITY_DROP_FACTORS.slice(1).some(
    ([from]) => Math.abs(dropPoints - (from - 0.5 / STEPS_PER_POINT)) <= uncertainty,
  );
  return near
    ? ['The drop lies within its standard uncertainty of a step of the table: the other factor may apply.']
    : [];
}
