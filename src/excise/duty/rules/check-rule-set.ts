import { MetrologyError } from '../../../metrology/problem.js';
import type { RoundingGrouping } from '../../../metrology/rounding-rules.js';
import { checkRule } from '../../../metrology/rounding-rules.js';
import { checkRates } from './check-rates.js';
import type { DutyCategory, RuleSet } from './rule-set.js';
import { BASIS_FACTS, contentBasisOf, groupingOf } from './rule-set.js';

const COARSENESS: Readonly<Record<RoundingGrouping, number>> = { line: 0, day: 1, period: 2 };

function refuse(rule: string, pointer: string, message: string, more: Readonly<Record<string, unknown>> = {}): never {
  throw new MetrologyError(rule, message, { pointer, ...more });
}

/**
 * Refuses a rule set that cannot be calculated by, and returns it: codes used twice; two categories that take the same goods; a unit that the
 * basis does not take; bands that leave a strength out or overlap; rates with a gap or an overlap in their dates; a rounding rule whose
 * steps contradict each other or round what the basis does not have. Pointers are paths into the document.
 *
 * @throws MetrologyError `twice`, `unit-not-of-basis`, `step-not-of-basis`, `band-gap`, `band-overlap`, `rate-gap`, `rate-overlap`,
 *   `required`, `contradictory`, and what `checkRule` throws
 */
export function checkRuleSet(set: RuleSet): RuleSet {
  const { rule, tolerance } = set.strengthForDuty;
  if ((rule === 'declared-unless-measured-above') !== (tolerance !== undefined)) {
    refuse(
      'contradictory',
      'strengthForDuty/tolerance',
      'A tolerance belongs to declared-unless-measured-above, and to no other rule.',
    );
  }
  requireOnce(
    set.categories.map(({ code }) => code),
    (i) => `categories/${i}/code`,
  );
  checkTakes(set.categories);
  set.categories.forEach((category, i) => checkCategory(set, category, `categories/${i}`));
  return set;
}

function requireOnce(names: readonly string[], pointer: (i: number) => string): void {
  names.forEach((name, i) => {
    if (names.indexOf(name) < i) refuse('twice', pointer(i), `"${name}" stands there already.`);
  });
}

function checkTakes(categories: readonly DutyCategory[]): void {
  const owners = new Map<string, string>();
  let rest: string | undefined;
  categories.forEach(({ code, takes }, i) => {
    const pointer = `categories/${i}/takes`;
    if (takes === undefined) {
      if (rest !== undefined)
        refuse('twice', pointer, `All that no other category takes is taken by "${rest}" already.`);
      rest = code;
    }
    (takes ?? []).forEach((name, n) => {
      const owner = owners.get(name);
      if (owner !== undefined) refuse('twice', `${pointer}/${n}`, `"${name}" is taken by "${owner}" already.`);
      owners.set(name, code);
    });
  });
}

function checkCategory(set: RuleSet, category: DutyCategory, pointer: string): void {
  const { units, byStrength } = BASIS_FACTS[category.basis];
  if (!units.includes(category.unit)) {
    refuse(
      'unit-not-of-basis',
      `${pointer}/unit`,
      `The basis ${category.basis} is calculated in ${units.join(' or ')}.`,
      {
        allowed: units,
      },
    );
  }
  if (category.freeStrength !== undefined && !byStrength) {
    refuse(
      'contradictory',
      `${pointer}/freeStrength`,
      `The basis ${category.basis} does not multiply by strength: no part of it can be free.`,
    );
  }
  checkBands(category, `${pointer}/bands`);
  checkRates(set, category, pointer);
  checkRounding(category, `${pointer}/rounding`);
}

function checkBands({ bands }: DutyCategory, pointer: string): void {
  requireOnce(
    bands.map(({ code }) => code),
    (i) => `${pointer}/${i}/code`,
  );
  let edge: number | undefined = 0;
  bands.forEach(({ fromStrength: { value: from }, belowStrength }, i) => {
    const below = belowStrength?.value;
    const at = `${pointer}/${i}`;
    if (edge === undefined || from < edge) {
      refuse('band-overlap', `${at}/fromStrength`, `Strengths from ${from} % vol stand in the band before already.`);
    }
    if (from > edge) {
      refuse('band-gap', `${at}/fromStrength`, `Strengths from ${edge} % to ${from} % vol stand in no band.`);
    }
    if (below !== undefined && below <= from) {
      refuse('contradictory', `${at}/belowStrength`, 'A band ends above where it begins.');
    }
    edge = below;
  });
  if (edge !== undefined) {
    const last = bands.length - 1;
    refuse('band-gap', `${pointer}/${last}/belowStrength`, `Strengths from ${edge} % vol stand in no band.`);
  }
}

function checkRounding(category: DutyCategory, pointer: string): void {
  const { rounding = [], basis } = category;
  if (rounding.length === 0) return;
  const { measures } = BASIS_FACTS[basis];
  const content = contentBasisOf(category);
  const allowed = [...measures, ...(content === undefined ? [] : [content]), 'rate', 'money'];
  rounding.forEach((step, i) => {
    if (!allowed.includes(step.basis)) {
      refuse(
        'step-not-of-basis',
        `${pointer}/${i}/basis`,
        `The basis ${basis} in ${category.unit} has no ${step.basis} to round; it takes ${allowed.join(', ')}.`,
        { allowed },
      );
    }
    const byLineOnly = step.basis === 'rate' || measures.includes(step.basis);
    if (byLineOnly && groupingOf(step) !== 'line') {
      refuse('contradictory', `${pointer}/${i}/grouping`, `A ${step.basis} is rounded line by line, never as a sum.`);
    }
  });
  rounded(category, pointer);
  const coarsest = Math.max(
    0,
    ...rounding.filter((step) => step.basis === content).map((step) => COARSENESS[groupingOf(step)]),
  );
  rounding.forEach((step, i) => {
    if (step.basis === 'money' && COARSENESS[groupingOf(step)] < coarsest) {
      refuse(
        'contradictory',
        `${pointer}/${i}/grouping`,
        'The money of a line cannot be rounded: it is calculated from a sum that is rounded first.',
      );
    }
  });
}

/** `checkRule` with the pointers of the document. */
function rounded({ rounding = [] }: DutyCategory, pointer: string): void {
  try {
    checkRule(rounding);
  } catch (error) {
    if (!(error instanceof MetrologyError)) throw error;
    const place = (error.details.pointer ?? '').replace(/^steps/, pointer);
    throw new MetrologyError(error.rule, error.message, { ...error.details, pointer: place });
  }
}
