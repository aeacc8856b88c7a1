import { brewingWater } from '../../../alcoholometry/water/brewing-water.js';
import { MetrologyError } from '../../../metrology/problem.js';
import { toBase } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { codeOfRule, fieldErrorOf } from '../../../platform/problems/to-problem.js';
import type { WaterIons } from '../../../platform/validation/water-ions.js';
import { ionsMgPerL, toWaterIons } from '../../../platform/validation/water-ions.js';
import type { RecipePlan } from './plan.dto.js';

interface ExpectedWater {
  readonly ions?: WaterIons;
  readonly warnings: readonly string[];
}

/**
 * Ions of a plan's brewing water in the volume of the plan; nothing where it plans none. Method, range and error: those of `brewingWater`.
 *
 * @throws ProblemException `out-of-range` with a pointer under /plan/water
 */
export function expectedWater({ water, volume }: RecipePlan): ExpectedWater {
  if (water === undefined) {
    return { warnings: [] };
  }
  const { base, salts = [] } = water;
  try {
    const { ions, warnings } = brewingWater({
      volumeL: toBase('volume', volume),
      base: ionsMgPerL(base),
      salts: salts.map(({ salt, mass }) => ({ salt, massKg: toBase('mass', mass) })),
    });
    return { ions: toWaterIons(ions), warnings };
  } catch (error) {
    if (!(error instanceof MetrologyError)) {
      throw error;
    }
    const field = {
      ...fieldErrorOf(error),
      pointer: `/plan/water/${(error.details.pointer ?? '').replaceAll('.', '/')}`,
    };
    throw new ProblemException(codeOfRule(error.rule), error.message, { errors: [field], cause: error });
  }
}
