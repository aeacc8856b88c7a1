import { joinEstimates, type Joined } from '../../metrology/joined.js';
import { componentsByOrigin, propagate, type BudgetLine } from '../../metrology/uncertainty.js';
import type { MethodDescriptor, StrengthFinding } from './finding.js';

const JOINED: MethodDescriptor = {
  id: 'joined',
  version: '1.0.0',
  source:
    'generalised least squares with the covariances of shared origins; consistency after M. G. Cox, Metrologia 39 (2002) 589',
};

/** A finding to be joined with others of the same liquid. */
export interface MemberFinding {
  readonly name: string;
  /** % vol at 20 °C */
  readonly strengthPercent: number;
  readonly budget: readonly BudgetLine[];
  readonly realExtractPlato?: number;
}

/** Several findings of one liquid in one, with what each deviates from it. */
export interface JoinedFinding {
  readonly found: StrengthFinding;
  readonly joined: Joined;
}

/**
 * Strength, % vol at 20 °C, from several findings of one liquid (`joinEstimates`).
 *
 * @param members 2 to 50, each with its budget; lines of one origin are one error in all of them.
 * @returns the finding and the test of consistency; findings that disagree are joined all the same, with a warning.
 * @throws MetrologyError as `joinEstimates`; `correlated-lines` for a budget with stated correlations
 */
export function joinFindings(members: readonly MemberFinding[]): JoinedFinding {
  const joined = joinEstimates(
    members.map(({ name, strengthPercent, budget }) => ({
      name,
      value: strengthPercent,
      components: componentsByOrigin(budget),
    })),
  );
  const lines = new Map(members.flatMap(({ budget }) => budget.map((line) => [line.origin, line] as const)));
  const origins = [...joined.components].filter(([, contribution]) => contribution !== 0);
  const strengthPercent = propagate(
    joined.value,
    origins.map(([origin, contribution]) => {
      const line = lines.get(origin);
      return {
        name: line?.name ?? origin,
        value: line?.value ?? 0,
        standardUncertainty: Math.abs(contribution),
        distribution: line?.distribution,
        degreesOfFreedom: line?.degreesOfFreedom ?? undefined,
        origin,
        unit: '%',
      };
    }),
    origins.map(([, contribution]) => Math.sign(contribution)),
  );
  const realExtractPlato = members.find((member) => member.realExtractPlato !== undefined)?.realExtractPlato;
  return {
    found: {
      strengthPercent,
      method: JOINED,
      warnings: joined.consistent ? [] : [disagreement(joined)],
      ...(realExtractPlato === undefined ? {} : { realExtractPlato }),
    },
    joined,
  };
}

/** Text on findings that do not agree within their uncertainties. */
export function disagreement({ chiSquared, degreesOfFreedom, misfit }: Joined): string {
  const test = `chi-squared is ${chiSquared.toFixed(1)} with ${degreesOfFreedom} degrees of freedom`;
  return misfit === null
    ? `The findings disagree by more than their uncertainties: ${test}.`
    : `The findings disagree by more than their uncertainties: ${test}. ${misfit} fits least.`;
}
