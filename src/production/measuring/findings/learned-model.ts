import { massBalance } from '../../../alcoholometry/strength/mass-balance.js';
import type { MassBalanceInput, ModelTerm } from '../../../alcoholometry/strength/mass-balance-point.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import type { BiasEvidence, LearnedBias } from '../../../metrology/learned-bias.js';
import { DEFAULT_SHARES, learnBias } from '../../../metrology/learned-bias.js';
import { MetrologyError } from '../../../metrology/problem.js';
import { componentsByOrigin } from '../../../metrology/uncertainty.js';
import type { BudgetLine } from '../../../metrology/uncertainty.js';

/** Kind and recipe that a lot was fermented by; lots without a recipe are one recipe of their own. */
export interface ModelOf {
  readonly kind: 'malt' | 'sugar';
  readonly recipe: string;
}

/** The mass balance of a lot that got a certificate, as kept with the certificate's finding: without a learned bias. */
export interface ComparedBalance extends ModelOf {
  /** % vol. */
  readonly strengthPercent: number;
  readonly readings: readonly string[];
  /** Contributions of the readings by origin, % vol. */
  readonly noise: readonly (readonly [string, number])[];
}

/** Origins of a mass balance that are not noise of its readings: they last, and are what certificates teach. */
const isModel = ({ origin }: BudgetLine): boolean =>
  origin === 'tabarie-convention' || /^(default\/)?model\//.test(origin);

/** The plain mass balance beside a certificate; undefined where the gravities give none. */
export function comparedBalance(
  input: MassBalanceInput,
  of: ModelOf,
  readings: readonly string[],
): ComparedBalance | undefined {
  try {
    const { value, budget } = massBalance(input).strengthPercent;
    const noise = componentsByOrigin(budget.filter((line) => !isModel(line)));
    return value > 0 ? { ...of, strengthPercent: value, readings, noise: [...noise] } : undefined;
  } catch (error) {
    if (error instanceof MetrologyError) return undefined;
    throw error;
  }
}

/** A certificate beside the mass balance of the same liquid. */
export interface CertifiedBalance {
  readonly certifiedPercent: number;
  readonly budget: readonly BudgetLine[];
  readonly balance: ComparedBalance;
}

/** Relative deviation with the noise of both sides by origin, to first order. */
function evidenceOf({ certifiedPercent, budget, balance }: CertifiedBalance): BiasEvidence {
  const ratio = certifiedPercent / balance.strengthPercent;
  const noise = new Map<string, number>();
  const add = (origin: string, relative: number): void => {
    noise.set(origin, (noise.get(origin) ?? 0) + relative);
  };
  for (const [origin, contribution] of componentsByOrigin(budget)) add(origin, contribution / balance.strengthPercent);
  for (const [origin, contribution] of balance.noise) add(origin, (-ratio * contribution) / balance.strengthPercent);
  return { kind: balance.kind, recipe: balance.recipe, deviation: ratio - 1, noise };
}

/** Model term of a mass balance: learned from the producer's certificates where there are any, else the stated default. */
export function modelTermOf(of: ModelOf, certified: readonly CertifiedBalance[]): ModelTerm {
  const origin = `model/${of.recipe}`;
  if (certified.length === 0) return { kind: of.kind, origin };
  const stated = of.kind === 'malt' ? DEFAULTS.modelMalt : DEFAULTS.modelSugar;
  const learned: LearnedBias = learnBias(certified.map(evidenceOf), of, {
    mean: 0,
    standard: stated.standardUncertainty,
    shares: DEFAULT_SHARES,
  });
  return {
    kind: 'certificates',
    origin,
    relativeBias: learned.mean,
    relativeStandardUncertainty: learned.standard,
    certificates: learned.certificates,
    certificatesOfRecipe: learned.certificatesOfRecipe,
  };
}
