import { pureAlcohol } from '../../../ledger/books/amount.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import { figureOf } from '../../../ledger/figures/figure.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact, sumOf } from '../../../metrology/decimals.js';
import type { MovementRow } from '../../movements/movement.reader.js';
import { DUTY_POINT_KINDS, MOVEMENT_RULES } from '../../movements/movement-kinds.js';
import { inForce } from '../../duty/rules/line.js';
import type { PaidRelease, ReportDuty } from '../documents/duty.dto.js';
import { moneyPart, rulePart, ruleSetPart } from './duty-wire.js';
import { dayBefore } from '../../../production/shared/local-day.js';
import { earlierPeriodsPart } from './earlier-periods-part.js';
import type { NamedVersion } from '../documents/report-head.dto.js';
import { oneOperation } from './links.js';
import { returnedPart } from './returned-part.js';
import { releasesPart } from './releases-part.js';
import type { ReportInput } from '../sources/report-input.js';

const lastSet = ({ ruleSets, period }: ReportInput) => inForce(ruleSets, dayBefore(period.endsBefore));

/** The rule set in force on the last day of the period, by which the report is named. */
export function lastRuleSet(input: ReportInput): NamedVersion {
  const { id, version } = lastSet(input);
  return { id, version };
}

/** Releases by the rules of duty, with litres and litres of pure alcohol beside what the books hold on the lines of their kinds. */
export function dutyPart(input: ReportInput): ReportDuty {
  const { movements, ruleSets } = input;
  // What was reversed is not there; what puts an earlier period right stands on that line.
  const released = movements.filter(({ reversed, earlierPeriodId }) => !reversed && earlierPeriodId === null);
  const counted = released.filter(({ dutyDate }) => dutyDate !== null);
  const previouslyDutyPaid = released.filter(({ dutyDate }) => dutyDate === null);
  const { calculation, releases, groups, forDuty } = releasesPart(input, counted);
  return {
    rule: rulePart(lastSet(input)),
    ruleSets: ruleSets.filter((set) => calculation.lines.some((each) => each.set === set)).map(ruleSetPart),
    releases,
    groups,
    money: calculation.money.map(({ currency, amount }) => moneyPart(currency, amount)),
    earlierPeriods: earlierPeriodsPart(input),
    returned: returnedPart(input, lastSet(input).document.returns ?? 'claim'),
    complete: calculation.complete,
    ...totals(input, counted, previouslyDutyPaid, forDuty),
  };
}

/** Goods that went out with their duty paid before: listed, so that the table of releases adds up to the books. */
const paidRelease =
  ({ names }: Pick<ReportInput, 'names'>) =>
  (row: MovementRow): PaidRelease => ({
    operationId: row.id,
    kind: row.kind,
    occurredAt: row.occurredAt.toISOString(),
    ...(row.packagedLotId === null ? {} : { packagedLotId: row.packagedLotId }),
    lotMark: names.packagedLots.get(row.packagedLotId ?? '')?.lotMark ?? '',
    category: row.category,
    count: row.count ?? 0,
    litres: toLitres(row.litres),
    litresOfPureAlcoholInBooks: toLitres(row.bookLpa),
    operations: oneOperation(row.id),
  });

const litresIn = (rows: readonly MovementRow[]): Decimal => sumOf(rows.map((row) => new Exact(row.litres)));

function totals(
  { flows, names }: Pick<ReportInput, 'flows' | 'names'>,
  counted: readonly MovementRow[],
  previouslyDutyPaid: readonly MovementRow[],
  forDuty: Decimal,
): Pick<
  ReportDuty,
  'litres' | 'litresOfPureAlcoholForDuty' | 'litresOfPureAlcoholInBooks' | 'previouslyDutyPaid' | 'tie'
> {
  const litres = litresIn(counted);
  const paidLitres = litresIn(previouslyDutyPaid);
  const paidLpa = sumOf(previouslyDutyPaid.map((row) => new Exact(row.bookLpa)));
  const nominal: readonly string[] = DUTY_POINT_KINDS.map((kind) => MOVEMENT_RULES[kind].nominal);
  const books = flows
    .filter((row) => row.category === null && nominal.includes(row.kind))
    .map((row) => figureOf(row).amount);
  const bookLitres = sumOf(books.map((each) => each.litres)).negated();
  const bookLpa = sumOf(books.map(pureAlcohol)).negated();
  const difference = litres.plus(paidLitres).minus(bookLitres);
  return {
    litres: toLitres(litres),
    litresOfPureAlcoholForDuty: toLitres(forDuty),
    litresOfPureAlcoholInBooks: toLitres(bookLpa),
    previouslyDutyPaid: {
      releases: previouslyDutyPaid.length,
      litres: toLitres(paidLitres),
      litresOfPureAlcohol: toLitres(paidLpa),
      goods: previouslyDutyPaid.map(paidRelease({ names })),
    },
    tie: {
      litres: toLitres(difference),
      litresOfPureAlcohol: toLitres(forDuty.plus(paidLpa).minus(bookLpa)),
      balances: difference.isZero(),
    },
  };
}
