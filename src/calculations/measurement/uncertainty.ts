import type { FirstOrderComparison, MonteCarloResult } from '../../metrology/monte-carlo.js';
import { compareWithFirstOrder, monteCarlo } from '../../metrology/monte-carlo.js';
import type { InputQuantity, Uncertain } from '../../metrology/uncertainty.js';
import { propagate } from '../../metrology/uncertainty.js';
import { figure } from '../shared/answer.js';
import { letRequestsRun } from '../shared/let-requests-run.js';
import { toUncertaintyLine } from '../shared/uncertainty.js';
import type { UncertaintyResult, UncertaintyRequest } from './uncertainty.dto.js';

const METHOD = {
  id: 'uncertainty-propagation',
  version: '1.0.0',
  source: 'JCGM 100:2008, 5.1, 5.2 and G.4; JCGM 101:2008, clause 7',
};

const LINEAR =
  'The model is assumed to be linear near the estimates. Neither the sensitivities nor this Monte Carlo show where it is not.';

const inputsOf = ({ inputs }: UncertaintyRequest): InputQuantity[] =>
  inputs.map(({ origin, sensitivity: _sensitivity, ...input }, i) => ({
    ...input,
    origin: origin ?? `input-${i + 1}`,
  }));

/** Maps the name of an input, as used by the pure functions, to its place in the request. */
export const uncertaintyName = (body: UncertaintyRequest) => {
  const places = new Map(body.inputs.map(({ name }, i) => [name, `inputs.${i}`]));
  return (name: string): string => (name === 'correlation' ? name : (places.get(name) ?? name));
};

/**
 * Comparison of the two intervals. Without an uncertainty there is no interval: then both agree where neither has one.
 */
function comparisonOf(
  firstOrder: Uncertain,
  result: MonteCarloResult,
  significantDigits?: 1 | 2,
): FirstOrderComparison {
  if (firstOrder.standard > 0) return compareWithFirstOrder(firstOrder, result, { significantDigits });
  const [differenceLow, differenceHigh] = result.symmetric.map((end) => Math.abs(end - firstOrder.value));
  return { confirmsFirstOrder: result.standard === 0, tolerance: 0, differenceLow, differenceHigh };
}

function figuresOf(
  firstOrder: Uncertain,
  result: MonteCarloResult,
  significantDigits?: 1 | 2,
): UncertaintyResult['monteCarlo'] {
  const compared = comparisonOf(firstOrder, result, significantDigits);
  return {
    mean: figure(result.mean),
    standardUncertainty: figure(result.standard),
    shortest: result.shortest.map(figure),
    symmetric: result.symmetric.map(figure),
    draws: result.draws,
    seed: result.seed,
    confirmsFirstOrder: compared.confirmsFirstOrder,
    tolerance: figure(compared.tolerance),
    difference: figure(Math.max(compared.differenceLow, compared.differenceHigh)),
  };
}

/** Combined uncertainty of a linear model, and the propagation of distributions where it was asked for. */
export async function uncertainty(body: UncertaintyRequest): Promise<UncertaintyResult> {
  const { correlation, coverageProbability = 0.95 } = body;
  const inputs = inputsOf(body);
  const sensitivities = body.inputs.map(({ sensitivity }) => sensitivity);
  const value = body.value ?? inputs.reduce((sum, input, i) => sum + sensitivities[i] * input.value, 0);
  const found = propagate(value, inputs, sensitivities, { correlation, coverageProbability });
  const answer: UncertaintyResult = {
    value: figure(found.value),
    standardUncertainty: figure(found.standard),
    expandedUncertainty: figure(found.expanded),
    coverageFactor: figure(found.coverageFactor),
    coverageProbability,
    degreesOfFreedom: found.degreesOfFreedom === null ? null : figure(found.degreesOfFreedom),
    budget: found.budget.map(toUncertaintyLine),
    method: METHOD,
    warnings: [LINEAR],
  };
  if (body.monteCarlo === undefined) return answer;
  await letRequestsRun();
  const evaluate = (draw: Float64Array): number => {
    let result = value;
    for (let i = 0; i < draw.length; i += 1) result += sensitivities[i] * (draw[i] - inputs[i].value);
    return result;
  };
  const { draws, seed, significantDigits } = body.monteCarlo;
  const drawn = monteCarlo({ draws, seed, inputs, evaluate, correlation, coverageProbability });
  return { ...answer, monteCarlo: figuresOf(found, drawn, significantDigits) };
}
