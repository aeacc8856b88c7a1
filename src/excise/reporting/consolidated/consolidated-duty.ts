import type { Litres } from '../../../ledger/books/litres.dto.js';
import { litresOf, toLitres } from '../../../ledger/books/litres.dto.js';
import { canonicalText, Exact, sumOf } from '../../../metrology/decimals.js';
import type { DutyGroup } from '../documents/duty.dto.js';
import type { Money } from '../documents/duty-values.dto.js';
import { grouped } from '../../../platform/grouped.js';
import type { MoneySummary } from '../documents/money-summary.dto.js';
import type {
  ConsolidatedDeficiency,
  ConsolidatedDuty,
  ConsolidatedDutyGroup,
  ConsolidatedReturn,
  DeclaredCorrection,
} from './consolidated-duty.dto.js';
import type { PeriodPart } from './period-parts.js';

const total = (values: readonly Litres[]): Litres => toLitres(sumOf(values.map(litresOf)));

const moneyOf = (parts: readonly Money[]): Money[] =>
  [...grouped(parts, ({ currency }) => currency)].map(([currency, own]) => ({
    currency,
    amount: canonicalText(sumOf(own.map(({ amount }) => new Exact(amount)))),
  }));

const decimals = (texts: readonly string[]): string => canonicalText(sumOf(texts.map((text) => new Exact(text))));

const keyOf = ({ ruleSet, category, band, untaxed, relieved, degree, rate }: DutyGroup): string =>
  JSON.stringify([
    ruleSet.id,
    ruleSet.version,
    category,
    band,
    untaxed,
    relieved,
    degree,
    rate?.amount,
    rate?.currency,
  ]);

function groupOf(groups: readonly DutyGroup[]): ConsolidatedDutyGroup {
  const [{ ruleSet, category, band, untaxed, relieved, degree, rate, quantity }] = groups;
  const [money] = moneyOf(groups.flatMap((each) => (each.money === undefined ? [] : [each.money])));
  return {
    ruleSet,
    category,
    ...(band === undefined ? {} : { band }),
    untaxed,
    relieved,
    ...(degree === undefined ? {} : { degree }),
    litres: total(groups.map((each) => each.litres)),
    litresOfPureAlcoholForDuty: total(groups.map((each) => each.litresOfPureAlcoholForDuty)),
    litresOfPureAlcoholInBooks: total(groups.map((each) => each.litresOfPureAlcoholInBooks)),
    quantity: {
      unit: quantity.unit,
      raw: decimals(groups.map((each) => each.quantity.raw)),
      result: decimals(groups.map((each) => each.quantity.result)),
    },
    ...(rate === undefined ? {} : { rate }),
    ...(money === undefined ? {} : { money }),
    releases: groups.reduce((sum, each) => sum + each.releases, 0),
    periods: groups.length,
  };
}

/** Changes of closed periods, one by one, in the order of the reports that declare them. */
const declaredCorrections = (reports: readonly PeriodPart[]): DeclaredCorrection[] =>
  reports.flatMap(({ period, duty }) =>
    duty.earlierPeriods.map(({ periodId, startsOn, endsBefore, groups, money }) => ({
      premisesId: period.premisesId,
      declaredIn: period.id,
      periodId,
      startsOn,
      endsBefore,
      litresOfPureAlcoholForDuty: total(groups.map(({ change }) => change.litresOfPureAlcoholForDuty)),
      money,
    })),
  );

/** Goods returned, by what becomes of the duty on them; periods without returns are left out. */
function returnedParts(reports: readonly PeriodPart[]): ConsolidatedReturn[] {
  const parts = reports.map(({ duty }) => duty.returned).filter(({ goods }) => goods.length > 0);
  return [...grouped(parts, ({ treatment }) => treatment)].map(([treatment, own]) => {
    const goods = own.flatMap((each) => each.goods);
    return {
      treatment,
      returns: goods.length,
      litres: total(goods.map(({ litres }) => litres)),
      litresOfPureAlcoholForDuty: total(goods.map((each) => each.litresOfPureAlcoholForDuty)),
      money: moneyOf(own.flatMap(({ money }) => money)),
    };
  });
}

/** The money boxes of the periods added up, by currency. */
export function consolidatedMoney(reports: readonly PeriodPart[]): MoneySummary[] {
  const boxes = grouped(
    reports.flatMap(({ money }) => money),
    ({ currency }) => currency,
  );
  return [...boxes]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([currency, own]) => {
      const sum = (part: Exclude<keyof MoneySummary, 'currency'>): string => decimals(own.map((each) => each[part]));
      return {
        currency,
        releases: sum('releases'),
        deficiency: sum('deficiency'),
        earlierPeriods: sum('earlierPeriods'),
        returns: sum('returns'),
        total: sum('total'),
        claims: sum('claims'),
      };
    });
}

/** Duty of the periods added up, each as its report has it. */
export function consolidatedDuty(reports: readonly PeriodPart[]): ConsolidatedDuty {
  const duties = reports.map(({ duty }) => duty);
  const groups = grouped(
    duties.flatMap((duty) => duty.groups),
    keyOf,
  );
  return {
    periods: reports.map(({ period, duty }) => ({
      premisesId: period.premisesId,
      periodId: period.id,
      startsOn: period.startsOn,
      litres: duty.litres,
      litresOfPureAlcoholForDuty: duty.litresOfPureAlcoholForDuty,
      litresOfPureAlcoholInBooks: duty.litresOfPureAlcoholInBooks,
      money: duty.money,
      complete: duty.complete,
    })),
    groups: [...groups].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, own]) => groupOf(own)),
    money: moneyOf(duties.flatMap(({ money }) => money)),
    complete: duties.every(({ complete }) => complete),
    earlierPeriods: declaredCorrections(reports),
    returned: returnedParts(reports),
    litres: total(duties.map(({ litres }) => litres)),
    litresOfPureAlcoholForDuty: total(duties.map((each) => each.litresOfPureAlcoholForDuty)),
    litresOfPureAlcoholInBooks: total(duties.map((each) => each.litresOfPureAlcoholInBooks)),
    previouslyDutyPaid: {
      releases: duties.reduce((sum, { previouslyDutyPaid }) => sum + previouslyDutyPaid.releases, 0),
      litres: total(duties.map(({ previouslyDutyPaid }) => previouslyDutyPaid.litres)),
      litresOfPureAlcohol: total(duties.map(({ previouslyDutyPaid }) => previouslyDutyPaid.litresOfPureAlcohol)),
    },
    tie: {
      litres: total(duties.map(({ tie }) => tie.litres)),
      litresOfPureAlcohol: total(duties.map(({ tie }) => tie.litresOfPureAlcohol)),
      balances: duties.every(({ tie }) => tie.balances),
    },
  };
}

/** Chargeable deficiency of the periods added up. */
export function consolidatedDeficiency(reports: readonly PeriodPart[]): ConsolidatedDeficiency {
  const parts = reports.map(({ deficiency }) => deficiency);
  const sums = (
    all: readonly Pick<ConsolidatedDeficiency, 'litres' | 'litresOfPureAlcohol' | 'litresOfPureAlcoholForDuty'>[],
  ) => ({
    litres: total(all.map(({ litres }) => litres)),
    litresOfPureAlcohol: total(all.map(({ litresOfPureAlcohol }) => litresOfPureAlcohol)),
    litresOfPureAlcoholForDuty: total(all.map((each) => each.litresOfPureAlcoholForDuty)),
  });
  const lines = grouped(
    parts.flatMap((part) => part.lines),
    ({ line, category }) => `${line}|${category}`,
  );
  return {
    lines: [...lines.values()].map((own) => ({
      line: own[0].line,
      category: own[0].category,
      lost: total(own.map(({ lost }) => lost)),
      allowance: total(own.map(({ allowance }) => allowance)),
      ...sums(own),
    })),
    money: moneyOf(parts.flatMap(({ money }) => money)),
    unexplainedDifferences: parts.reduce((sum, each) => sum + each.unexplainedDifferences, 0),
    ...sums(parts),
  };
}
