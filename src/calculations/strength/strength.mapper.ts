import type { StrengthFinding } from '../../alcoholometry/strength/finding.js';
import type { MonteCarloResult } from '../../metrology/monte-carlo.js';
import { bearsOut } from '../../metrology/monte-carlo.js';
import type { BudgetLine } from '../../metrology/uncertainty.js';
import type { QuantityDto } from '../shared/answer.js';
import { figure, quantityOf } from '../shared/answer.js';
import type { StrengthAnswerDto } from './strength.dto.js';

const percent = (value: number): QuantityDto => quantityOf(value, '%');

const defined = <Name extends string>(name: Name, value: number | undefined) =>
  (value === undefined ? {} : { [name]: figure(value) }) as { [Key in Name]?: number };

const definedPercent = <Name extends string>(name: Name, value: number | undefined) =>
  (value === undefined ? {} : { [name]: percent(value) }) as { [Key in Name]?: QuantityDto };

/** A line of a budget as it goes over the wire. */
export const lineOf = (line: BudgetLine): StrengthAnswerDto['budget'][number] => ({
  name: line.name,
  value: figure(line.value),
  ...(line.unit === undefined ? {} : { unit: line.unit }),
  standardUncertainty: figure(line.standardUncertainty),
  distribution: line.distribution,
  degreesOfFreedom: line.degreesOfFreedom === null ? null : figure(line.degreesOfFreedom),
  sensitivity: figure(line.sensitivity),
  contribution: figure(line.contribution),
  share: figure(line.share),
  origin: line.origin,
});

function monteCarloOf(
  finding: StrengthFinding,
  result: MonteCarloResult,
): StrengthAnswerDto['uncertainty']['monteCarlo'] {
  return {
    mean: percent(result.mean),
    standard: percent(result.standard),
    shortest: result.shortest.map(percent),
    symmetric: result.symmetric.map(percent),
    draws: result.draws,
    seed: result.seed,
    rejected: result.rejected,
    bearsOut: bearsOut(finding.strengthPercent, result).bearsOut,
  };
}

/** A finding as it goes over the wire. */
export function toStrengthAnswer(finding: StrengthFinding, monteCarlo?: MonteCarloResult): StrengthAnswerDto {
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
      ...(monteCarlo === undefined ? {} : { monteCarlo: monteCarloOf(finding, monteCarlo) }),
    },
    budget: budget.map(lineOf),
    ...defined('originalExtract', finding.originalExtractPlato),
    ...defined('realExtract', finding.realExtractPlato),
    ...defined('apparentExtract', finding.apparentExtractPlato),
    ...(Object.keys(attenuation).length === 0 ? {} : { attenuation }),
    ...definedPercent('alcoholByMass', finding.alcoholByMassPercent),
    method: finding.method,
    warnings: [...finding.warnings],
  };
}
