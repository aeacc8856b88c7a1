import { factorCorrelation, type CorrelationMatrix } from '../../src/metrology/correlation.js';
import { checkInputs, checkOriginsAgainst, checkSensitivities } from '../../src/metrology/input-checks.js';
import { MetrologyError } from '../../src/metrology/problem.js';
import type { InputQuantity } from '../../src/metrology/uncertainty.js';

/**
 * Covariances of several results of the same inputs, JCGM 100 H.2.3 (formula H.9): C·V·Cᵀ, origins and correlations as in `propagate`.
 *
 * @param sensitivities one row for each result, one column for each input.
 * @returns covariances, and correlation coefficients (0 beside a result without uncertainty). Error: rounding, 1e-14 relative to the
 *   product of the standard uncertainties.
 * @throws MetrologyError as `propagate`
 */
export function covarianceOf(
  inputs: readonly InputQuantity[],
  sensitivities: readonly (readonly number[])[],
  options: { readonly correlation?: CorrelationMatrix } = {},
): { covariance: number[][]; correlation: number[][] } {
  checkInputs(inputs);
  if (sensitivities.length === 0) {
    throw new MetrologyError('empty-budget', 'At least one result is needed.', { pointer: 'sensitivities' });
  }
  for (const row of sensitivities) checkSensitivities(inputs, row);
  const factor = latentFactor(inputs, options.correlation);
  const latent = sensitivities.map((row) => {
    const components = new Array<number>(inputs.length).fill(0);
    row.forEach((sensitivity, i) => {
      factor[i].forEach((entry, k) => (components[k] += sensitivity * inputs[i].standardUncertainty * entry));
    });
    return components;
  });
  const dot = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, value, k) => sum + value * b[k], 0);
  const covariance = latent.map((a) => latent.map((b) => dot(a, b)));
  const standard = covariance.map((row, i) => Math.sqrt(row[i]));
  const correlation = covariance.map((row, i) =>
    row.map((entry, j) => (standard[i] === 0 || standard[j] === 0 ? 0 : entry / (standard[i] * standard[j]))),
  );
  return { covariance, correlation };
}

function latentFactor(inputs: readonly InputQuantity[], correlation?: CorrelationMatrix): number[][] {
  if (correlation !== undefined) {
    const factor = factorCorrelation(correlation, inputs.length);
    checkOriginsAgainst(inputs, correlation);
    return factor;
  }
  const column = new Map<string, number>();
  return inputs.map((input) => {
    const k = column.get(input.origin) ?? column.size;
    column.set(input.origin, k);
    return inputs.map((_, j) => (j === k ? 1 : 0));
  });
}
