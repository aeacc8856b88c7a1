import type { StrengthFinding } from '../../alcoholometry/strength/finding.js';
import { dominantRectangular } from '../../metrology/dominant-rectangular.js';
import type { MonteCarloResult } from '../../metrology/monte-carlo.js';
import { compareWithFirstOrder } from '../../metrology/monte-carlo.js';
import type { Quantity } from '../shared/answer.js';
import { figure, quantityOf } from '../shared/answer.js';
import { toUncertaintyLine } from '../shared/uncertainty.js';
import type { StrengthResult } from './strength.dto.js';

const percent = (value: number): Quantity => quantityOf(value, '%');

const defined = <Name extends string>(name: Name, value: number | undefined) =>
  (value === undefined ? {} : { [name]: figure(value) }) as { [Key in Name]?: number };

const definedPercent = <Name extends string>(name: Name, value: number | undefined) =>
  (value === undefined ? {} : { [name]: percent(value) }) as { [Key in Name]?: Quantity };

function monteCarloOf(finding: StrengthFinding, result: MonteCarloResult): StrengthResult['uncertainty']['monteCarlo'] {
  return {
    mean: percent(result.mean),
    standardUncertainty: percent(result.standard),
    shortest: result.shortest.map(percent),
    symmetric: result.symmetric.map(percent),
    draws: result.draws,
    seed: result.seed,
    rejected: result.rejected,
    confirmsFirstOrder: compareWithFirstOrder(finding.strengthPercent, result).confirmsFirstOrder,
  };
}

function rectangularOf({ strengthPercent }: StrengthFinding): Pick<StrengthResult['uncertainty'], 'rectangular'> {
  const shape = dominantRectangular(strengthPercent);
  return shape === undefined
    ? {}
    : {
        rectangular: {
          input: shape.name,
          coverageFactor: figure(shape.coverageFactor),
          expanded: percent(shape.expanded),
        },
      };
}

/** Converts a finding to the answer of `strength`. */
export function toStrengthResult(finding: StrengthFinding, monteCarlo?: MonteCarloResult): StrengthResult {
  const { value, standard, expanded, coverageFactor, degreesOfFreedom, budget } = finding.strengthPercent;
  const attenuation = {
    ...definedPercent('apparent', finding.apparentAttenuationPercent),
    ...definedPercent('real', finding.realAttenuationPercent),
  };
  return {
    strength: percent(value),
    uncertainty: {
      standard: percent(standard),
      expanded: percent(expanded),
      coverageFactor: figure(coverageFactor),
      degreesOfFreedom: degreesOfFreedom === null ? null : figure(degreesOfFreedom),
      ...rectangularOf(finding),
      ...(monteCarlo === undefined ? {} : { monteCarlo: monteCarloOf(finding, monteCarlo) }),
    },
    budget: budget.map(toUncertaintyLine),
    ...defined('originalExtract', finding.originalExtractPlato),
    ...defined('realExtract', finding.realExtractPlato),
    ...defined('apparentExtract', finding.apparentExtractPlato),
    ...(Object.keys(attenuation).length === 0 ? {} : { attenuation }),
    ...definedPercent('alcoholByMass', finding.alcoholByMassPercent),
    method: finding.method,
    warnings: [...finding.warnings],
  };
}
