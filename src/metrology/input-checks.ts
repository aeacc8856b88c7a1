import type { CorrelationMatrix } from './correlation.js';
import type { InputQuantity } from './input-quantity.js';
import { MetrologyError, requireCount, requireFinite, requireInRange } from './problem.js';

/** Largest number of lines of a budget; a longer list is refused. */
const MAXIMUM_BUDGET_LINES = 1000;

/** Checks the inputs of a budget: at least one, finite numbers, no negative uncertainty, ν from 1 upwards. */
export function checkInputs(inputs: readonly InputQuantity[]): void {
  if (inputs.length === 0)
    throw new MetrologyError('empty-budget', 'A budget needs at least one input.', { pointer: 'inputs' });
  requireCount('inputs', inputs.length, 1, MAXIMUM_BUDGET_LINES);
  for (let i = 0; i < inputs.length; i += 1) {
    const { name, value, standardUncertainty, degreesOfFreedom = Infinity } = inputs[i];
    requireFinite(name, value);
    requireFinite(name, standardUncertainty);
    if (standardUncertainty < 0) {
      throw new MetrologyError('negative-uncertainty', `The standard uncertainty of ${name} must not be negative.`, {
        pointer: name,
        range: [0, Number.MAX_VALUE],
      });
    }
    if (degreesOfFreedom !== Infinity)
      requireInRange(name, degreesOfFreedom, 1, Number.MAX_VALUE, 'degrees of freedom');
  }
}

/** Checks that there are as many sensitivities as inputs, all finite; throws `contradictory`, `not-finite`. */
export function checkSensitivities(inputs: readonly InputQuantity[], sensitivities: readonly number[]): void {
  if (sensitivities.length !== inputs.length) {
    throw new MetrologyError(
      'contradictory',
      `${inputs.length} inputs need as many sensitivities; got ${sensitivities.length}.`,
      {
        pointer: 'sensitivities',
      },
    );
  }
  inputs.forEach((input, i) => requireFinite(input.name, sensitivities[i]));
}

/** Checks that inputs of one origin have the coefficient 1 in a stated correlation matrix; throws `contradictory`. */
export function checkOriginsAgainst(inputs: readonly InputQuantity[], correlation: CorrelationMatrix): void {
  inputs.forEach((input, i) => {
    inputs.forEach((other, j) => {
      if (i !== j && input.origin === other.origin && correlation[i][j] !== 1) {
        throw new MetrologyError(
          'contradictory',
          `${input.name} and ${other.name} share an origin, so their correlation must be 1.`,
          {
            pointer: 'correlation',
            row: i,
            column: j,
          },
        );
      }
    });
  });
}
