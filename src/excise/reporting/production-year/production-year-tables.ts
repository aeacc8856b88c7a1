import { dayBefore } from '../../../production/shared/local-day.js';
import { headFacts } from '../render/first-page.js';
import type { ReportTable } from '../render/report-table.js';
import { code, number, tableOf, text } from '../render/report-table.js';
import type { ProductionAmount, ProductionParts, ProductionYear } from './production-year.dto.js';

const PLACES = 4;
const PARTS = {
  own: number('Own, hL pure', PLACES),
  licensed: number('For others, hL pure', PLACES),
  both: number('Both, hL pure', PLACES),
  own_volume: number('Own, hL', PLACES),
  licensed_volume: number('For others, hL', PLACES),
};

/** A sum of two numbers of at most eight decimals. */
const sum = (a: number, b: number): number => Number((a + b).toFixed(8));

const partCells = ({ own, licensed }: ProductionParts) => ({
  own: own.pureAlcohol.value,
  licensed: licensed.pureAlcohol.value,
  both: sum(own.pureAlcohol.value, licensed.pureAlcohol.value),
  own_volume: own.volume.value,
  licensed_volume: licensed.volume.value,
});

const amountCells = ({ pureAlcohol, volume }: ProductionAmount) => ({
  pure_alcohol: pureAlcohol.value,
  volume: volume.value,
});

const AMOUNT = { pure_alcohol: number('hL pure', PLACES), volume: number('hL', PLACES) };

const factsTable = (report: ProductionYear): ReportTable => {
  const { producer, year, startsOn, endsBefore, basis, counted, total, trail, statement, estimate } = report;
  const facts: [string, string][] = [
    ...headFacts(producer, []),
    ['simulated', String(producer.simulated)],
    ['year', String(year)],
    ['startsOn', startsOn],
    ['lastDay', dayBefore(endsBefore)],
    ['basis', basis],
    ...(counted ?? []).map((category): [string, string] => ['counted', category]),
    ...(total.licensedShare === undefined ? [] : [['licensedShare', String(total.licensedShare)] as [string, string]]),
    ['expandedUncertaintyPureAlcohol', String(total.expandedUncertainty.pureAlcohol.value)],
    ...(estimate === undefined ? [] : [['estimateMethod', estimate.method] as [string, string]]),
    ['trailSequence', String(trail.sequence)],
    ['trailHash', trail.hash],
    ...statement.map((each): [string, string] => ['statement', each]),
  ];
  return tableOf(
    'production-year',
    { fact: text('Fact'), value: text('Value') },
    facts.map(([fact, value]) => ({ fact, value })),
  );
};

/** Production by month, with the year. */
export const monthsTable = ({ months, total }: ProductionYear): ReportTable =>
  tableOf('production-months', { month: text('Month'), ...PARTS }, [
    ...months.map((each) => ({ month: each.month, ...partCells(each) })),
    { month: 'year', ...partCells(total), emphasised: true },
  ]);

/** Production of each category, with its months in a CSV. */
export const categoriesTable = ({ categories }: ProductionYear): ReportTable =>
  tableOf(
    'production-categories',
    { category: code('Category'), month: text('Month'), ...PARTS },
    categories.flatMap((each) => [
      { category: each.category, month: 'year', ...partCells(each) },
      ...each.months.map((month) => ({
        category: each.category,
        month: month.month,
        ...partCells(month),
        csvOnly: true,
      })),
    ]),
  );

/** Own, for others and the group, of the year and by the estimate. */
export const totalsTable = ({ total, estimate, year }: ProductionYear): ReportTable =>
  tableOf(
    'production-totals',
    { of: text('Of'), part: code('Part'), ...AMOUNT },
    [
      { of: String(year), totals: total },
      ...(estimate === undefined ? [] : [{ of: `${estimate.year}, estimate`, totals: estimate }]),
    ].flatMap(({ of, totals }) =>
      (['own', 'licensed', 'group', 'all'] as const).map((part) => ({
        of,
        part,
        ...amountCells(totals[part]),
        emphasised: part === 'all',
      })),
    ),
  );

/** Each other owner for whom it was produced, and each other member of the group with the document of its figure. */
export const othersTable = ({ licensedFor, group }: ProductionYear): ReportTable =>
  tableOf('production-others', { name: text('Name'), part: code('Part'), document: text('Document'), ...AMOUNT }, [
    ...licensedFor.map(({ owner, ...made }) => ({ name: owner, part: 'licensed', ...amountCells(made) })),
    ...group.map(({ member, document, ...made }) => ({ name: member, part: 'group', document, ...amountCells(made) })),
  ]);

export const thresholdsTable = ({ thresholds }: ProductionYear): ReportTable =>
  tableOf(
    'production-thresholds',
    {
      threshold: text('Threshold'),
      measure: code('Measure'),
      limit: number('Limit, hL', 2),
      counted: number('This year, hL', PLACES),
      share: number('Share, %', 2),
      estimated: number('Estimate, hL', PLACES),
      state: code('State'),
    },
    thresholds.map(({ name, measure, limit, counted, share, estimated, state }) => ({
      threshold: name,
      measure,
      limit: limit.value,
      counted: counted.value,
      share: share?.value,
      estimated: estimated?.value,
      state,
      emphasised: state !== 'below',
    })),
  );

/** The parts of the document as tables: CSV and PDF render these. */
export const productionYearTables = (report: ProductionYear): ReportTable[] => [
  factsTable(report),
  monthsTable(report),
  categoriesTable(report),
  totalsTable(report),
  othersTable(report),
  thresholdsTable(report),
];
