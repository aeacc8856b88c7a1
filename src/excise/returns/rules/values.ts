import { litresOf } from '../../../ledger/books/litres.dto.js';
import type { Litres } from '../../../ledger/books/litres.dto.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { DutyGroup } from '../../reporting/documents/duty.dto.js';
import type { Release } from '../../reporting/documents/release.dto.js';
import type { DutyGroupCorrection } from '../../reporting/documents/earlier-periods.dto.js';
import type { ReportFigure } from '../../reporting/documents/report-figures.dto.js';
import type { PeriodReport } from '../../reporting/documents/report.dto.js';
import type { ReturnedGroup } from '../../reporting/documents/returned-duty.dto.js';
import type { DutyTerm, FigureTerm, ReturnUnit } from './mapping.js';
import { RETURN_UNITS } from './mapping.js';

/** Reasons why a line is not complete. */
export type Missing = 'no-money' | 'no-quantity';

/** Sum of what a term takes, with what could not be counted. */
export interface Taken {
  readonly value: Decimal;
  readonly missing: readonly Missing[];
}

const NONE: Taken = { value: new Exact(0), missing: [] };

const added = (parts: readonly Taken[]): Taken =>
  parts.reduce(
    (sum, each) => ({ value: sum.value.plus(each.value), missing: [...sum.missing, ...each.missing] }),
    NONE,
  );

const has = (list: readonly string[] | undefined, name: string | undefined): boolean =>
  list === undefined || (name !== undefined && list.includes(name));

const within = (
  value: Decimal | undefined,
  from: { value: number } | undefined,
  below: { value: number } | undefined,
) =>
  (from === undefined || value?.greaterThanOrEqualTo(from.value) === true) &&
  (below === undefined || value?.lessThan(below.value) === true);

type Contained = Pick<ReportFigure, 'category' | 'container' | 'nominalVolume'>;

const inContainers = (term: FigureTerm | DutyTerm, each: Contained): boolean =>
  has(term.categories, each.category) &&
  has(term.containers, each.container) &&
  within(each.nominalVolume && litresOf(each.nominalVolume), term.fromVolume, term.belowVolume);

/** True if a term takes a figure of the books; a column takes its stages only. */
export const takesFigure = (term: FigureTerm, each: ReportFigure, columnStages?: readonly string[]): boolean =>
  term.figures.includes(each.figure) &&
  has(term.stages, each.stage) &&
  has(columnStages, each.stage) &&
  (term.dutyStatus === undefined || term.dutyStatus === each.dutyStatus) &&
  (term.direction === undefined || term.direction === each.direction) &&
  inContainers(term, each);

/** True if a term takes a release. */
export const takesRelease = (term: DutyTerm, each: Release): boolean =>
  term.part === 'releases' &&
  inContainers(term, each) &&
  has(term.dutyCategories, each.dutyCategory) &&
  has(term.bands, each.band) &&
  (term.relieved === undefined || term.relieved === (each.relieved === true)) &&
  (term.forDispense === undefined || term.forDispense === (each.dispense !== undefined && each.dispense !== 'none')) &&
  within(new Exact(each.strengthForDuty.value), term.fromStrength, term.belowStrength);

/** Litres or litres of pure alcohol in a unit of the form. */
const inUnit = (unit: ReturnUnit, litres: Litres, pureAlcohol: Litres): Decimal => {
  const { measure, litres: size } = RETURN_UNITS[unit];
  return litresOf(measure === 'litres' ? litres : pureAlcohol).dividedBy(size);
};

/** A quantity for duty in a unit of the form. */
function quantityIn(unit: ReturnUnit, quantity: { readonly unit: string; readonly result: string } | undefined): Taken {
  const factors: Readonly<Record<string, string>> = RETURN_UNITS[unit].ofDuty;
  const factor = quantity === undefined ? undefined : factors[quantity.unit];
  return quantity === undefined || factor === undefined
    ? { value: new Exact(0), missing: ['no-quantity'] }
    : { value: new Exact(quantity.result).times(factor), missing: [] };
}

/** Sum of figures of the books in a unit. */
export const figuresIn = (unit: ReturnUnit, figures: readonly ReportFigure[]): Taken =>
  added(
    figures.map(({ litres, litresOfPureAlcohol }) => ({
      value: inUnit(unit, litres, litresOfPureAlcohol),
      missing: [],
    })),
  );

const sameGroup = (group: DutyGroup, each: Release): boolean =>
  group.ruleSet.id === each.ruleSet.id &&
  group.ruleSet.version === each.ruleSet.version &&
  group.category === each.dutyCategory &&
  group.band === each.band &&
  group.relieved === (each.relieved === true) &&
  group.degree === each.degree &&
  group.rate?.amount === each.rate?.amount;

/**
 * Indicated duty of releases: that of a group whose releases are all taken, as its rules rounded it; of a part of a group, quantity times rate.
 */
function moneyOf({ duty }: PeriodReport, taken: ReadonlySet<Release>): Taken {
  return added(
    duty.groups.map((group): Taken => {
      const own = duty.releases.filter((each) => sameGroup(group, each));
      const part = own.filter((each) => taken.has(each));
      if (part.length === 0 || group.untaxed) return NONE;
      if (group.rate === undefined || group.money === undefined) return { value: new Exact(0), missing: ['no-money'] };
      const rate = group.rate.amount;
      return part.length === own.length
        ? { value: new Exact(group.money.amount), missing: [] }
        : added(part.map(({ quantity }) => ({ value: new Exact(quantity?.result ?? 0).times(rate), missing: [] })));
    }),
  );
}

/** Sum of releases in a unit. */
function releasesIn(report: PeriodReport, unit: ReturnUnit, releases: readonly Release[], byDutyBasis: boolean): Taken {
  const { measure } = RETURN_UNITS[unit];
  switch (measure) {
    case 'money':
      return moneyOf(report, new Set(releases));
    case 'count':
      return added(releases.map(({ count }) => ({ value: new Exact(count), missing: [] })));
    case 'quantity':
      return added(releases.map(({ quantity }) => quantityIn(unit, quantity)));
    default:
      return added(
        releases.map((each) =>
          byDutyBasis
            ? quantityIn(unit, each.quantity)
            : { value: inUnit(unit, each.litres, each.litresOfPureAlcoholForDuty), missing: [] },
        ),
      );
  }
}

interface DutySum {
  readonly unit: string;
  readonly litres: Litres;
  readonly litresOfPureAlcoholForDuty: Litres;
  readonly quantity: string;
  readonly money?: { readonly amount: string };
}

function sumIn(unit: ReturnUnit, each: DutySum, byDutyBasis: boolean): Taken {
  const { measure } = RETURN_UNITS[unit];
  if (measure === 'money')
    return each.money === undefined
      ? { value: new Exact(0), missing: ['no-money'] }
      : { value: new Exact(each.money.amount), missing: [] };
  return measure === 'quantity' || byDutyBasis
    ? quantityIn(unit, { unit: each.unit, result: each.quantity })
    : { value: inUnit(unit, each.litres, each.litresOfPureAlcoholForDuty), missing: [] };
}

const isOver = ({ change }: DutyGroupCorrection): boolean =>
  (change.money === undefined
    ? litresOf(change.litresOfPureAlcoholForDuty)
    : new Exact(change.money.amount)
  ).isNegative();

/** Groups of earlier periods whose duty was declared too low, or too high. */
export const correctionsOf = ({ duty }: PeriodReport, part: string): DutyGroupCorrection[] =>
  duty.earlierPeriods.flatMap(({ groups }) => groups.filter((each) => isOver(each) === (part === 'over-declared')));

const inBand = (term: DutyTerm, each: { readonly category: string; readonly band?: string }): boolean =>
  has(term.dutyCategories, each.category) && has(term.bands, each.band);

/** Groups of goods returned that a term takes. */
export const takesReturned = (term: DutyTerm, each: ReturnedGroup): boolean => inBand(term, each);

export const takesCorrection = (term: DutyTerm, each: DutyGroupCorrection): boolean =>
  inBand(term, each) && (term.relieved === undefined || term.relieved === each.relieved);

/** Sum of a duty term in a unit; the rows of a degree only, where one is named. */
export function dutyIn(report: PeriodReport, unit: ReturnUnit, term: DutyTerm, degree?: number): Taken {
  const { duty, deficiency } = report;
  const byDutyBasis = term.byDutyBasis === true;
  switch (term.part) {
    case 'releases': {
      const own = duty.releases.filter((each) => takesRelease(term, each));
      const wanted = degree === undefined ? own : own.filter((each) => each.degree === degree);
      return releasesIn(report, unit, wanted, byDutyBasis);
    }
    case 'returned':
      return added(
        duty.returned.groups.filter((each) => takesReturned(term, each)).map((each) => sumIn(unit, each, byDutyBasis)),
      );
    case 'deficiency': {
      if (RETURN_UNITS[unit].measure !== 'money')
        return { value: inUnit(unit, deficiency.litres, deficiency.litresOfPureAlcoholForDuty), missing: [] };
      const sum = added(deficiency.money.map(({ amount }) => ({ value: new Exact(amount), missing: [] })));
      return { ...sum, missing: deficiency.complete ? [] : ['no-money'] };
    }
    default:
      return added(
        correctionsOf(report, term.part)
          .filter((each) => takesCorrection(term, each))
          .map((each) => sumIn(unit, { ...each.change, unit: each.unit }, byDutyBasis)),
      );
  }
}
