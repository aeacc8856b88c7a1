import type { Decimal } from '../../../metrology/decimals.js';
import { Exact, sumOf } from '../../../metrology/decimals.js';
import type { Rounded, RoundingBasis, RoundingGrouping } from '../../../metrology/rounding-rules.js';
import { applyRounding } from '../../../metrology/rounding-rules.js';
import type { DutyLine, LineDuty } from './line.js';
import { lineDuty } from './line.js';
import { lineSteps } from './quantity.js';
import type { DutyCategory, NamedRuleSet } from './rule-set.js';
import { contentBasisOf, groupingOf } from './rule-set.js';

/** A sum of a day or of the period, with the steps that rounded it. */
interface DutySum {
  readonly quantityRaw: Decimal;
  readonly quantity: Decimal;
  /** None where no rate holds. */
  readonly money?: Decimal;
  readonly steps: readonly Rounded[];
}

interface DayDuty extends DutySum {
  readonly day: string;
}

export interface LineMoney {
  readonly lineId: string;
  readonly money: Decimal;
  readonly steps: readonly Rounded[];
}

/** Duty of one category and band at one rate, by one version of the rules: one line of a duty return. */
export interface GroupDuty extends DutySum {
  readonly set: NamedRuleSet;
  readonly category: DutyCategory;
  /** None: the strengths do not decide it. */
  readonly band: string | undefined;
  readonly untaxed: boolean;
  /** Of one unit, its relief taken off and rounded. */
  readonly rate: Decimal | undefined;
  readonly rateSteps: readonly Rounded[];
  readonly relieved: boolean;
  /** Degrees Plato of all its lines, where duty is charged by them: a return lists the hectolitres of each degree. */
  readonly degree: Decimal | undefined;
  readonly lines: readonly LineDuty[];
  /** Only where a step rounds the sums of days. */
  readonly days: readonly DayDuty[];
  /** Only where money is calculated line by line. */
  readonly lineMoney: readonly LineMoney[];
}

interface MoneySum {
  readonly currency: string;
  readonly amount: Decimal;
}

export interface DutyCalculation {
  readonly lines: readonly LineDuty[];
  readonly groups: readonly GroupDuty[];
  readonly money: readonly MoneySum[];
  /** Every line on which duty falls has its money. */
  readonly complete: boolean;
}

const LEVELS: readonly RoundingGrouping[] = ['line', 'day', 'period'];

/**
 * Calculates duty of lines by the rule sets of a producer: the duty date picks the set and the rate. Exact decimals; nothing is rounded but at a
 * named step, and each step keeps its raw value. Steps of line, day and period round each line, each day's sum and the period's sum of one
 * category, band and rate; money is calculated at its own finest step, else where the quantity was last rounded.
 *
 * @param sets checked by `checkRuleSet`, in the order in which they were made, one of them in force on every duty date.
 * @param lines of one period. Sources of the rules are the producer's; nothing here is legal advice.
 * @throws MetrologyError `out-of-range` for a strength that is none
 */
export function dutyOf(sets: readonly NamedRuleSet[], lines: readonly DutyLine[]): DutyCalculation {
  const calculated = lines.map((line) => lineDuty(sets, line));
  const groups = [...groupedLines(calculated).values()].map(groupDuty);
  const sums = new Map<string, Decimal>();
  for (const { set, money } of groups) {
    const { currency } = set.document;
    if (money !== undefined && currency !== undefined) {
      sums.set(currency, money.plus(sums.get(currency) ?? 0));
    }
  }
  return {
    lines: calculated,
    groups,
    money: [...sums].map(([currency, amount]) => ({ currency, amount })),
    complete: calculated.every(
      ({ band, quantity, rate }) => band?.untaxed === true || (quantity !== undefined && rate !== undefined),
    ),
  };
}

function added(groups: Map<string, LineDuty[]>, key: string, each: LineDuty): void {
  const group = groups.get(key);
  if (group === undefined) groups.set(key, [each]);
  else group.push(each);
}

/** By set, category, band, rate and relief, in the order of the rules. */
function groupedLines(lines: readonly LineDuty[]): Map<string, LineDuty[]> {
  const groups = new Map<string, LineDuty[]>();
  for (const each of lines) {
    const { set, category, band, rate, relieved, quantity, degree } = each;
    if (category === undefined || quantity === undefined) continue;
    const place = (list: readonly unknown[], of: unknown): string => String(list.indexOf(of)).padStart(4, '0');
    const parts = [
      set.document.validFrom,
      set.version.padStart(10, '0'),
      place(set.document.categories, category),
      band === undefined ? 'undecided' : place(category.bands, band),
      rate?.from ?? '',
      String(relieved),
      degree === undefined ? '' : degree.toFixed(6).padStart(12, '0'),
    ];
    const key = parts.join('|');
    added(groups, key, each);
  }
  return new Map([...groups].sort(([a], [b]) => (a < b ? -1 : 1)));
}

function steps(category: DutyCategory, basis: RoundingBasis | undefined, level: RoundingGrouping) {
  return (category.rounding ?? []).filter((step) => step.basis === basis && groupingOf(step) === level);
}

function taken(
  category: DutyCategory,
  basis: RoundingBasis | undefined,
  level: RoundingGrouping,
  raw: Decimal,
): [Decimal, Rounded[]] {
  const all: Rounded[] = [];
  let value = raw;
  for (const step of steps(category, basis, level)) {
    const each = applyRounding(step, value);
    all.push(each);
    value = each.rounded;
  }
  return [value, all];
}

/** Level at which money is calculated: that of its finest step, else the one at which the quantity is rounded last. */
function moneyLevel(category: DutyCategory): RoundingGrouping {
  const content = contentBasisOf(category);
  return (
    LEVELS.find((level) => steps(category, 'money', level).length > 0) ??
    LEVELS.filter((level) => steps(category, content, level).length > 0).at(-1) ??
    'line'
  );
}

function rateAfterRelief({ category, rate, relieved }: LineDuty): { rate: Decimal | undefined; rateSteps: Rounded[] } {
  if (rate === undefined || category === undefined) return { rate: undefined, rateSteps: [] };
  const all: Rounded[] = [];
  let value = new Exact(rate.amount);
  const { relief } = category;
  if (relieved && relief !== undefined) {
    const raw = relief.kind === 'per-unit' ? new Exact(relief.amount) : value.times(relief.amount).dividedBy(100);
    const { name, mode, places } = relief;
    const discount = applyRounding({ name, basis: 'rate', mode, places }, raw);
    all.push(discount);
    value = Exact.max(0, value.minus(discount.rounded));
  }
  const [rounded, rateSteps] = lineSteps(category, 'rate', value);
  return { rate: rounded, rateSteps: [...all, ...rateSteps] };
}

function groupDuty(lines: readonly LineDuty[]): GroupDuty {
  const [first] = lines;
  const { set, band, relieved } = first;
  const category = first.category as DutyCategory;
  const { rate, rateSteps } = rateAfterRelief(first);
  const level = rate === undefined ? undefined : moneyLevel(category);
  const lineMoney = level === 'line' ? lines.map((each) => moneyOfLine(category, each, rate)) : [];
  const moneyOf = new Map(lineMoney.map(({ lineId, money }) => [lineId, money]));

  const sumAt = (at: 'day' | 'period', quantityRaw: Decimal, below: readonly (Decimal | undefined)[]): DutySum => {
    const [quantity, content] = taken(category, contentBasisOf(category), at, quantityRaw);
    const known = below.filter((each): each is Decimal => each !== undefined);
    const raw = rate !== undefined && level === at ? quantity.times(rate) : known.length > 0 ? sumOf(known) : undefined;
    if (raw === undefined) return { quantityRaw, quantity, steps: content };
    const [money, moneySteps] = taken(category, 'money', at, raw);
    return { quantityRaw, quantity, money, steps: [...content, ...moneySteps] };
  };

  const days = roundsDays(category)
    ? [...byDay(lines)].map(([day, own]) => ({
        day,
        ...sumAt(
          'day',
          sumOf(own.map(quantityIn)),
          own.map(({ line }) => moneyOf.get(line.id)),
        ),
      }))
    : [];
  const total =
    days.length > 0
      ? sumAt(
          'period',
          sumOf(days.map(({ quantity }) => quantity)),
          days.map(({ money }) => money),
        )
      : sumAt(
          'period',
          sumOf(lines.map(quantityIn)),
          lineMoney.map(({ money }) => money),
        );
  return {
    set,
    category,
    band: band?.code,
    untaxed: band?.untaxed === true,
    rate,
    rateSteps,
    relieved,
    degree: first.degree,
    lines,
    days,
    lineMoney,
    ...total,
  };
}

const quantityIn = ({ quantity }: LineDuty): Decimal => quantity ?? new Exact(0);

const roundsDays = (category: DutyCategory): boolean =>
  [contentBasisOf(category), 'money' as const].some((basis) => steps(category, basis, 'day').length > 0);

function byDay(lines: readonly LineDuty[]): Map<string, LineDuty[]> {
  const days = new Map<string, LineDuty[]>();
  for (const each of [...lines].sort((a, b) =>
    a.line.dutyDate < b.line.dutyDate ? -1 : a.line.dutyDate > b.line.dutyDate ? 1 : 0,
  )) {
    added(days, each.line.dutyDate, each);
  }
  return days;
}

function moneyOfLine(category: DutyCategory, each: LineDuty, rate: Decimal | undefined): LineMoney {
  const [money, all] = taken(category, 'money', 'line', quantityIn(each).times(rate ?? 0));
  return { lineId: each.line.id, money, steps: all };
}
