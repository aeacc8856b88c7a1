import type { ReportTable } from '../../reporting/render/report-table.js';
import { code, decimal, flag, litres, number, tableOf, text } from '../../reporting/render/report-table.js';
import type { PeriodReturn } from './return.dto.js';

function headTable({ mapping, period, premises, producer, status, advice, reportHash }: PeriodReturn): ReportTable {
  return tableOf(
    'return',
    {
      form: text('Form'),
      mapping: text('Mapping'),
      mapping_version: number('Version'),
      status: code('Status'),
      producer: text('Producer'),
      premises: text('Premises'),
      starts_on: text('From'),
      ends_before: text('Before'),
      report_hash: text('Report'),
      advice: text('Notice'),
    },
    [
      {
        form: mapping.formTitle,
        mapping: mapping.name,
        mapping_version: mapping.number,
        status,
        producer: producer.name,
        premises: premises.name,
        starts_on: period.startsOn,
        ends_before: period.endsBefore,
        report_hash: reportHash,
        advice,
      },
    ],
  );
}

function linesTable({ lines, columns, currency = '' }: PeriodReturn): ReportTable {
  const unitIn = (column: string | undefined, unit: string): string =>
    columns.find((each) => each.code === column)?.unit ?? unit;
  return tableOf(
    'lines',
    {
      line: text('Line'),
      label: text('Label'),
      column: text('Column'),
      degree: number('°P'),
      unit: text('Unit'),
      currency: text('Currency'),
      exact: decimal('Exact'),
      value: decimal('Value'),
    },
    lines.flatMap(({ line, label, unit, values }) =>
      values.map(({ column, degree, exact, value }) => {
        const own = unitIn(column, unit);
        return { line, label, column, degree, unit: own, currency: own === 'money' ? currency : '', exact, value };
      }),
    ),
  );
}

function tiesTable({ ties }: PeriodReturn): ReportTable {
  return tableOf(
    'ties',
    {
      left: text('Lines'),
      right: text('Lines'),
      column: text('Column'),
      difference: decimal('Difference'),
      printed_difference: decimal('Printed'),
      balances: flag('Equal'),
    },
    ties.map(({ left, right, column, difference, printedDifference, balances }) => ({
      left: left.join(' + '),
      right: right.join(' + '),
      column,
      difference,
      printed_difference: printedDifference,
      balances,
    })),
  );
}

function unmappedTable({ unmapped }: PeriodReturn): ReportTable {
  return tableOf(
    'unmapped',
    {
      figure: code('Figure'),
      category: text('Category'),
      stage: code('Stage'),
      duty_status: code('Duty'),
      band: text('Band'),
      litres: litres('Litres', 3),
      litres_of_pure_alcohol: litres('L pure alcohol', 3),
      money: decimal('Duty'),
      left_out: flag('Left out on purpose'),
    },
    unmapped.map((each) => ({
      figure: each.figure,
      category: each.category,
      stage: each.stage,
      duty_status: each.dutyStatus,
      band: each.band,
      litres: each.litres,
      litres_of_pure_alcohol: each.litresOfPureAlcohol,
      money: each.money,
      left_out: each.leftOut,
    })),
  );
}

/** Tables of a return as CSV, the head of the form first. */
export const returnTables = (made: PeriodReturn): ReportTable[] => [
  headTable(made),
  linesTable(made),
  tiesTable(made),
  unmappedTable(made),
];
