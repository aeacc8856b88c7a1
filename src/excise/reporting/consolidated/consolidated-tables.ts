import { balanceRows, weeksTable } from '../period/balance-tables.js';
import {
  deficiencyTable,
  FOR_DUTY,
  forDutyCells,
  MONEY,
  moneyCells,
  QUANTITY,
  quantityCells,
} from '../period/duty-tables.js';
import { moneyTable } from '../period/money-tables.js';
import { tiesTable } from '../period/work-tables.js';
import { isNothing, moneyText } from '../render/figures-text.js';
import type { ReportTable } from '../render/report-table.js';
import {
  AMOUNT,
  amountCells,
  code,
  decimal,
  FIGURES,
  figureCells,
  instant,
  litres,
  onPageOnly,
  tableOf,
  text,
} from '../render/report-table.js';
import { headFacts } from '../render/first-page.js';
import type { ConsolidatedReport } from './consolidated.dto.js';

const namesIn = ({ premises }: ConsolidatedReport): ((id: string) => string) => {
  const names = new Map(premises.map(({ id, name }) => [id, name]));
  return (id) => names.get(id) ?? id;
};

function factsTable({
  status,
  producer,
  premises,
  startsOn,
  endsBefore,
  keepUntil,
  trail,
  versions,
  statement,
}: ConsolidatedReport): ReportTable {
  const facts = [
    ['status', status],
    ...headFacts(producer, premises),
    ['simulated', String(producer.simulated)],
    ['startsOn', startsOn],
    ['endsBefore', endsBefore],
    ['keepUntil', keepUntil],
    ['trailSequence', String(trail.sequence)],
    ['trailHash', trail.hash],
    ['program', versions.program],
    ...statement.map((each) => ['statement', each]),
  ];
  return tableOf(
    'report',
    { fact: text('Fact'), value: text('Value') },
    facts.map(([fact, value]) => ({ fact, value })),
  );
}

/** The periods that are added up. */
export const periodsTable = ({ premises }: ConsolidatedReport): ReportTable =>
  tableOf(
    'periods',
    {
      premises: text('Premises'),
      time_zone: text('Time zone'),
      starts_on: text('From'),
      ends_before: text('Before'),
      state: code('State'),
      closed_at: instant('Closed (UTC)'),
      report_hash: text('SHA-256 of the frozen report'),
      report: text('Report'),
    },
    premises.flatMap(({ name, timeZone, periods }) =>
      periods.length === 0
        ? [{ premises: name, state: 'no period' }]
        : periods.map((each) => ({
            premises: name,
            time_zone: timeZone,
            starts_on: each.startsOn,
            ends_before: each.endsBefore,
            state: each.state,
            closed_at: each.closedAt,
            report_hash: each.reportHash,
            report: each.report,
            emphasised: each.state === 'open',
          })),
    ),
  );

/** Each of the two balances line by line over all premises. */
export const dutyBalancesTable = (report: ConsolidatedReport): ReportTable =>
  tableOf(
    'balances',
    { duty_status: code('Duty status'), group: code('Sum'), line: code('Line'), ...FIGURES },
    balanceRows(report.balances, report),
  );

/** Each line by premises and in all. Where there is one of the premises only, its figures are those in all. */
export function balanceTable(report: ConsolidatedReport): ReportTable {
  const { opening, lines, closing, premises } = report;
  const nameOf = namesIn(report);
  const csvOnly = premises.length < 2;
  const all = csvOnly ? undefined : 'all premises';
  return tableOf(
    'balance',
    { line: code('Line'), premises: text('Premises'), place: onPageOnly(text('Premises')), ...FIGURES },
    [
      { line: 'opening', place: all, ...figureCells(opening), emphasised: true },
      ...premises.map((each) => ({
        line: 'opening',
        premises: each.name,
        place: each.name,
        ...figureCells(each.opening),
        csvOnly,
      })),
      ...lines.flatMap((line) => [
        {
          line: line.line,
          place: all,
          ...figureCells(line),
          emphasised: true,
          csvOnly: isNothing(line) && line.byPremises.every(isNothing),
        },
        ...line.byPremises.map((each) => ({
          line: line.line,
          premises: nameOf(each.premisesId),
          place: nameOf(each.premisesId),
          ...figureCells(each),
          csvOnly,
        })),
      ]),
      { line: 'closing', place: all, ...figureCells(closing), emphasised: true },
      ...premises.map((each) => ({
        line: 'closing',
        premises: each.name,
        place: each.name,
        ...figureCells(each.closing),
        csvOnly,
      })),
    ],
  );
}

/** Corrected duty of closed periods and duty on goods returned, with their money. */
export function correctionsTable(report: ConsolidatedReport): ReportTable {
  const { earlierPeriods, returned } = report.duty;
  const nameOf = namesIn(report);
  return tableOf(
    'earlier-periods-and-returns',
    {
      part: code('Part'),
      premises: text('Premises'),
      starts_on: text('Period from'),
      litres_of_pure_alcohol_for_duty: litres('L pure, for duty'),
      ...MONEY,
    },
    [
      ...earlierPeriods.flatMap((each) =>
        each.money.map((part) => ({
          part: 'earlier-period',
          premises: nameOf(each.premisesId),
          starts_on: each.startsOn,
          litres_of_pure_alcohol_for_duty: each.litresOfPureAlcoholForDuty,
          ...moneyCells(part),
        })),
      ),
      ...returned.flatMap((each) =>
        each.money.map((part) => ({
          part: `returned-${each.treatment}`,
          litres_of_pure_alcohol_for_duty: each.litresOfPureAlcoholForDuty,
          ...moneyCells(part),
        })),
      ),
    ],
  );
}

export const categoriesTable = ({ categories }: ConsolidatedReport): ReportTable =>
  tableOf(
    'categories',
    { category: code('Category'), duty_status: code('Duty status'), line: code('Line'), ...FIGURES },
    categories.flatMap(({ category, dutyStatus: duty_status, opening, lines, closing }) => [
      { category, duty_status, line: 'opening', ...figureCells(opening), emphasised: true },
      ...lines.map((each) => ({ category, duty_status, line: each.line, ...figureCells(each) })),
      { category, duty_status, line: 'closing', ...figureCells(closing), emphasised: true },
    ]),
  );

const LEGS = {
  inTransitAtStart: 'in transit at the start',
  sent: 'sent',
  restated: 'restated in transit',
  received: 'received',
  lost: 'lost',
  inTransitAtEnd: 'in transit at the end',
} as const;
const LEG_NAMES = Object.keys(LEGS) as (keyof typeof LEGS)[];

export function betweenTable(report: ConsolidatedReport): ReportTable {
  const nameOf = namesIn(report);
  return tableOf(
    'between-premises',
    { from: text('From'), to: text('To'), leg: text('Leg'), ...AMOUNT },
    report.betweenPremises.consignments.flatMap((each) =>
      LEG_NAMES.map((leg) => ({
        from: nameOf(each.fromPremisesId),
        to: nameOf(each.toPremisesId),
        leg: LEGS[leg],
        ...amountCells(each[leg]),
      })),
    ),
  );
}

const booksTable = ({ reports }: ConsolidatedReport): ReportTable =>
  tableOf(
    'books-and-reports',
    { line: code('Line'), of: text('Of'), ...AMOUNT },
    reports.figures.flatMap((each) =>
      (['reports', 'books', 'difference'] as const).map((of) => ({ line: each.line, of, ...amountCells(each[of]) })),
    ),
  );

const stagesTable = ({ stages }: ConsolidatedReport): ReportTable =>
  tableOf(
    'stages',
    { stage: code('Stage'), ...FIGURES },
    stages.map((each) => ({ stage: each.stage, ...figureCells(each) })),
  );

export const dutyTable = ({ duty }: ConsolidatedReport): ReportTable =>
  tableOf(
    'duty',
    {
      duty_category: code('Category'),
      band: text('Band'),
      rule_set: text('Rule set'),
      ...FOR_DUTY,
      ...QUANTITY,
      rate: decimal('Rate'),
      ...MONEY,
    },
    [
      ...duty.groups.map((each) => ({
        duty_category: each.category,
        band: each.band,
        rule_set: `${each.ruleSet.id} ${each.ruleSet.version}`,
        ...forDutyCells(each),
        ...quantityCells(each.quantity),
        rate: each.rate?.amount,
        ...moneyCells(each.money),
      })),
      { duty_category: 'total', ...forDutyCells(duty), emphasised: true },
      ...duty.money.map((each) => ({
        duty_category: duty.complete ? 'indicated duty' : 'indicated duty, not complete',
        ...moneyCells(each),
        emphasised: true,
      })),
    ],
  );

/** Duty of each period: the sums above are made of these. */
export function dutyPeriodsTable(report: ConsolidatedReport): ReportTable {
  const nameOf = namesIn(report);
  return tableOf(
    'duty-periods',
    { premises: text('Premises'), starts_on: text('Period from'), ...FOR_DUTY, money: text('Duty') },
    report.duty.periods.map((each) => ({
      premises: nameOf(each.premisesId),
      starts_on: each.startsOn,
      ...forDutyCells(each),
      money: `${each.money.map((sum) => `${moneyText(sum)} ${sum.currency}`).join(', ')}${each.complete || each.money.length === 0 ? '' : ' (not complete)'}`,
    })),
  );
}

export const deficienciesTable = ({ deficiency }: ConsolidatedReport): ReportTable => deficiencyTable(deficiency);

/** The parts of the consolidated report as tables: CSV, ZIP and PDF render these. */
export const consolidatedTables = (report: ConsolidatedReport): ReportTable[] => [
  factsTable(report),
  periodsTable(report),
  dutyBalancesTable(report),
  balanceTable(report),
  categoriesTable(report),
  stagesTable(report),
  weeksTable(report),
  betweenTable(report),
  tiesTable([report.betweenPremises.tie]),
  booksTable(report),
  dutyTable(report),
  dutyPeriodsTable(report),
  correctionsTable(report),
  moneyTable(report),
  deficienciesTable(report),
];
