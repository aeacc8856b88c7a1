import type { BudgetLine, InputQuantity, Uncertain } from './uncertainty.js';
import { propagate } from './uncertainty.js';

/** A value with its budget. Lines of one origin, of either value, are wrong together. */
export interface Compared {
  readonly value: number;
  readonly budget: readonly BudgetLine[];
}

const inputOf = ({ degreesOfFreedom, ...line }: BudgetLine): InputQuantity => ({
  ...line,
  ...(degreesOfFreedom === null ? {} : { degreesOfFreedom }),
});

/**
 * Second less first, with its uncertainty: contributions of one origin are subtracted before they are squared, so that what both have in
 * common (one hydrometer, one model) is not counted twice.
 *
 * Law of propagation, JCGM 100 5.2. Range and error: those of `propagate`.
 * @throws MetrologyError `empty-budget` where neither has a budget
 */
export function differenceOf(first: Compared, second: Compared): Uncertain {
  const inputs = [...first.budget, ...second.budget].map(inputOf);
  const sensitivities = [
    ...first.budget.map(({ sensitivity }) => -sensitivity),
    ...second.budget.map(({ sensitivity }) => sensitivity),
  ];
  return propagate(second.value - first.value, inputs, sensitivities);
}
