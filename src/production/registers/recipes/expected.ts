import type { Expectation } from '../../../alcoholometry/plans/plan-ferment.js';
import type { Plan } from '../../../alcoholometry/plans/plan.js';
import { plan, PLAN_METHOD } from '../../../alcoholometry/plans/plan.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import { MetrologyError } from '../../../metrology/problem.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBase } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { codeOfRule, fieldErrorOf } from '../../../platform/problems/to-problem.js';
import type { FermentableKind } from '../../../alcoholometry/plans/fermentables.js';
import { hasYield } from '../../../alcoholometry/plans/fermentables.js';
import { expectedWater } from './expected-water.js';
import type { ExpectedFigures, PlanKind, RecipePlan } from './plan.dto.js';

const PLANNED_ONLY = { id: 'plan-as-given', version: '1.0.0', source: 'the plan itself' };

/** Apparent attenuation of malt where nothing is said; common practice, no source. */
const MALT_ATTENUATION_PERCENT = 75;

/** Relative standard uncertainty of the strength by the mass balance, by kind of plan; nothing where nothing ferments. */
const MODEL_UNCERTAINTY: Readonly<Record<PlanKind, number | undefined>> = {
  'sugar-wash': DEFAULTS.modelSugar.standardUncertainty,
  malt: DEFAULTS.modelMalt.standardUncertainty,
  'spirit-based': undefined,
};

const shown = (value: number, places: number): number => Number(value.toFixed(places));

/**
 * Computes gravities, strength and yield of a plan from its fermentables. For a plan that ferments nothing, strength and pure alcohol are
 * the planned ones. Figures are rounded: gravity to 6 places, extract, strength and volumes to 4.
 *
 * Method, range and error: those of `plan` in alcoholometry.
 * @throws ProblemException `not-computable`, `out-of-range` with pointers under /plan
 */
export function expectedOf(given: RecipePlan): ExpectedFigures {
  const expected = expectedFerment(given);
  const { ions, warnings } = expectedWater(given);
  return {
    ...expected,
    ...(ions === undefined ? {} : { waterIons: ions }),
    warnings: [...expected.warnings, ...warnings],
  };
}

function expectedFerment(given: RecipePlan): ExpectedFigures {
  const { kind, fermentables = [] } = given;
  if (kind === 'spirit-based' || fermentables.length === 0) {
    return plannedFigures(given);
  }
  const { expectation, warnings } = expectationOf(given);
  const made = planned(given, expectation);
  const model = MODEL_UNCERTAINTY[kind] ?? 0;
  return {
    originalGravity: { value: shown(made.original.specificGravity20, 6), scale: 'sg-20-20' },
    originalExtract: shown(made.original.plato, 4),
    finalGravity: { value: shown(made.final.specificGravity20, 6), scale: 'sg-20-20' },
    strength: { value: shown(made.strengthPercent, 4), unit: '%' },
    strengthModelUncertainty: shown(model * made.strengthPercent, 4),
    finalVolume: { value: shown(made.finalVolumeL, 4), unit: 'L' },
    pureAlcohol: { value: shown(made.pureAlcoholL, 4), unit: 'L' },
    warnings: [...made.warnings, ...warnings, ...missedStrength(given, made.strengthPercent, model)],
    method: { ...PLAN_METHOD },
  };
}

function plannedFigures(given: RecipePlan): ExpectedFigures {
  const { kind, volume, strength, fermentables = [], expectedAttenuation, finalGravity } = given;
  const pointer = finalGravity !== undefined ? '/plan/finalGravity' : '/plan/expectedAttenuation';
  if (finalGravity !== undefined || expectedAttenuation !== undefined) {
    throw contradiction(
      pointer,
      'Nothing ferments in this plan, so there is no final gravity or attenuation to expect.',
    );
  }
  const warnings =
    kind === 'spirit-based'
      ? fermentables.length === 0
        ? []
        : ['Sugars of a spirit-based plan are not fermented: no gravities are computed from them.']
      : ['Without fermentables no gravities are computed.'];
  if (strength === undefined) {
    return { warnings, method: PLANNED_ONLY };
  }
  const pureAlcoholL = (toBase('volume', volume) * strength.value) / 100;
  return {
    strength: { value: strength.value, unit: '%' },
    pureAlcohol: { value: shown(pureAlcoholL, 4), unit: 'L' },
    warnings,
    method: PLANNED_ONLY,
  };
}

function expectationOf(given: RecipePlan): { expectation: Expectation; warnings: string[] } {
  const { kind, expectedAttenuation, finalGravity } = given;
  if (expectedAttenuation !== undefined && finalGravity !== undefined) {
    throw contradiction('/plan/finalGravity', 'Give the attenuation or the final gravity, not both.');
  }
  if (finalGravity !== undefined) {
    return { expectation: { finalGravity }, warnings: [] };
  }
  if (expectedAttenuation !== undefined) {
    return { expectation: { apparentAttenuationPercent: expectedAttenuation.value }, warnings: [] };
  }
  return kind === 'malt'
    ? {
        expectation: { apparentAttenuationPercent: MALT_ATTENUATION_PERCENT },
        warnings: [`Taken to reach ${MALT_ATTENUATION_PERCENT} % apparent attenuation (common practice, no source).`],
      }
    : {
        expectation: { realAttenuationPercent: 100 },
        warnings: ['Taken to ferment out completely, as sugar washes nearly do (common practice, no source).'],
      };
}

function planned(given: RecipePlan, expectation: Expectation): Plan {
  const { fermentables = [] } = given;
  try {
    return plan({
      volumeL: toBase('volume', given.volume),
      expectation,
      fermentables: fermentables.map(({ kind, mass, extractYield }, index) => {
        requireYield(kind, extractYield, index);
        return {
          kind,
          massKg: toBase('mass', mass),
          ...(extractYield === undefined ? {} : { extractYield: extractYield.value / 100 }),
        };
      }),
    });
  } catch (error) {
    if (!(error instanceof MetrologyError)) {
      throw error;
    }
    const field = { ...fieldErrorOf(error), pointer: pointerOf(error.details.pointer ?? '', given) };
    throw new ProblemException(codeOfRule(error.rule), error.message, { errors: [field], cause: error });
  }
}

function requireYield(kind: FermentableKind, extractYield: Quantity | undefined, index: number): void {
  if (hasYield(kind) !== (extractYield !== undefined)) {
    const words = hasYield(kind)
      ? 'Malt and malt extract need their extract yield, here or with the material.'
      : 'Only malt and malt extract have an extract yield; a sugar dissolves whole.';
    throw contradiction(`/plan/fermentables/${index}/extractYield`, words);
  }
}

/** Pointer to the input in the body that the mass balance knows by another name. */
function pointerOf(name: string, given: RecipePlan): string {
  const fermentable = /^fermentables\.(\d+)/.exec(name);
  if (fermentable !== null) {
    return `/plan/fermentables/${fermentable[1]}/mass`;
  }
  if (name === 'volume' || name === 'extractPerVolume' || name === 'originalExtract') {
    return '/plan/volume';
  }
  return given.finalGravity === undefined ? '/plan/expectedAttenuation' : '/plan/finalGravity';
}

/** Warns if the computed strength differs from the wanted one by more than the uncertainty of the model. */
function missedStrength({ strength }: RecipePlan, foundPercent: number, model: number): string[] {
  if (strength === undefined || Math.abs(foundPercent - strength.value) <= Math.max(0.1, 2 * model * foundPercent)) {
    return [];
  }
  return [`The fermentables come to ${foundPercent.toFixed(2)} % vol, the plan wants ${strength.value} % vol.`];
}

const contradiction = (pointer: string, detail: string): ProblemException =>
  new ProblemException('not-computable', detail, { errors: [{ pointer, rule: 'contradictory', detail }] });
