import type { Content } from 'pdfmake/interfaces.js';
import { grouped } from '../../../platform/grouped.js';
import { decimalText, to3, words } from '../../reporting/render/figures-text.js';
import type { Cell } from '../../reporting/render/page.js';
import type { Column } from '../../reporting/render/page-table.js';
import { bolded, boxed, h2, onPages, quiet, SIMULATED, table } from '../../reporting/render/page.js';
import type { PdfDefinition } from '../../reporting/render/pdf-maker.js';
import type { ReturnUnit } from '../rules/mapping.js';
import { RETURN_UNITS } from '../rules/mapping.js';
import type { PeriodReturn, ReturnLine } from './return.dto.js';

export interface ReturnPdfInput {
  readonly made: PeriodReturn;
  /** SHA-256 of the document's bytes, hexadecimal. */
  readonly hash: string;
  readonly at: Date;
}

const unitLabel = (unit: string, currency = ''): string =>
  unit === 'money' ? currency : RETURN_UNITS[unit as ReturnUnit].label;

/** Width of a column of values, in points: seven columns still leave room for the words of the line. */
const widthOf = (columns: number): number => (columns > 4 ? 44 : 80);

/** Rows of one line: one, or one for each degree. */
function rowsOf(
  line: ReturnLine,
  columns: readonly (string | undefined)[],
  withUnit: boolean,
  currency?: string,
): Cell[][] {
  const degrees = [...new Set(line.values.map(({ degree }) => degree))];
  const unit = withUnit ? [unitLabel(line.unit, currency)] : [];
  return (degrees.length === 0 ? [undefined] : degrees).map((degree) => {
    const texts = [
      line.line,
      degree === undefined ? line.label : `${line.label}: ${degree} °P`,
      ...columns.map((column) => {
        const found = line.values.find((each) => each.column === column && each.degree === degree);
        return found === undefined ? '' : decimalText(found.value);
      }),
      ...unit,
    ];
    return line.computed ? bolded(texts) : texts;
  });
}

function linesTable({ lines, columns, currency }: PeriodReturn): Content {
  const units = new Set(lines.map(({ unit }) => unit));
  const ownUnits = columns.some(({ unit }) => unit !== undefined);
  const withUnit = !ownUnits && units.size > 1;
  const codes = columns.length === 0 ? [undefined] : columns.map(({ code }) => code);
  const heads: Column[] = [
    { head: 'Line', width: 30 },
    { head: withUnit || ownUnits || units.size !== 1 ? '' : unitLabel([...units][0], currency), width: '*' },
    ...(columns.length === 0
      ? [{ head: 'Value', width: 80, right: true }]
      : columns.map(({ code, label, unit }) => ({
          head: unit === undefined ? `(${code}) ${label}` : `${label}, ${unitLabel(unit, currency)}`,
          width: widthOf(columns.length),
          right: true,
        }))),
    ...(withUnit ? [{ head: 'Unit', width: 70 }] : []),
  ];
  return table(
    heads,
    lines.flatMap((line) => rowsOf(line, codes, withUnit, currency)),
  );
}

function tiesText({ ties }: PeriodReturn): Content[] {
  if (ties.length === 0) return [];
  const say = (lines: readonly string[]): string => lines.join(' + ');
  const open = ties.filter(({ balances }) => !balances);
  const all = [...new Set(ties.map(({ left, right }) => `${say(left)} = ${say(right)}`))].join('; ');
  const off = ties.filter(({ balances, printedDifference }) => balances && Number(printedDifference) !== 0);
  return [
    quiet(
      open.length === 0
        ? `These lines are equal before rounding: ${all}.${off.length === 0 ? '' : ' Rounded, the last digit of some differs.'}`
        : `NOT EQUAL: ${open.map(({ left, right, column, difference }) => `${say(left)} and ${say(right)}${column === undefined ? '' : ` (${column})`}, by ${decimalText(difference)}`).join('; ')}.`,
    ),
  ];
}

/** Rows that fit on one page, those of the lines among them. */
const ROWS_A_PAGE = 36;
const FEWEST_UNMAPPED = 3;

function unmappedPart({ unmapped, lines, currency = '' }: PeriodReturn): Content[] {
  const taken = lines.reduce((rows, { values }) => rows + new Set(values.map(({ degree }) => degree)).size, 0);
  const shown = unmapped.slice(0, Math.max(FEWEST_UNMAPPED, ROWS_A_PAGE - taken));
  const withMoney = unmapped.some(({ money }) => money !== undefined);
  const heading = h2('What no line takes');
  if (unmapped.length === 0) return [heading, quiet('Nothing: every figure that the form asks for has its line.')];
  const place = (each: (typeof unmapped)[number]): string =>
    [
      each.stage,
      each.dutyStatus === 'paid' ? 'duty paid' : undefined,
      each.band,
      each.leftOut ? 'left out on purpose' : undefined,
    ]
      .filter((word) => word !== undefined)
      .join(', ');
  return [
    heading,
    table(
      [
        { head: 'Figure of the report', width: '*' },
        { head: 'Category', width: 90 },
        { head: 'Where', width: 100 },
        { head: 'Litres', width: 62, right: true },
        { head: 'L pure alcohol', width: 62, right: true },
        ...(withMoney ? [{ head: `Duty, ${currency}`, width: 48, right: true }] : []),
      ],
      shown.map((each) => [
        words(each.figure),
        each.category,
        place(each),
        to3(each.litres),
        to3(each.litresOfPureAlcohol),
        ...(withMoney ? [each.money === undefined ? '' : decimalText(each.money)] : []),
      ]),
    ),
    ...(shown.length === unmapped.length
      ? []
      : [quiet(`${unmapped.length - shown.length} more stand in the CSV and the JSON of this return.`)]),
  ];
}

/** Notes of the lines, those of one text together. */
function notesOf({ lines }: PeriodReturn): string[] {
  const byNote = grouped(
    lines.filter(({ note }) => note !== undefined),
    ({ note }) => note ?? '',
  );
  return [...byNote].map(([note, own]) => `${own.map(({ line }) => line).join(', ')}: ${note}`);
}

/** Names of producer and premises with their numbers, and the days, in one line. */
function whoText({ producer, premises, period }: PeriodReturn): string {
  const { name, legalName = name, taxNumber } = producer;
  const approvals = premises.approvals.map(({ number }) => number).join(', ');
  return [
    `${legalName}${taxNumber === undefined ? '' : ` (tax number ${taxNumber})`}`,
    `${premises.name}${approvals === '' ? '' : ` (approval ${approvals})`}`,
    `${period.startsOn} to before ${period.endsBefore}`,
  ].join(' · ');
}

/** Address of this module, for the printing thread. */
export const RETURN_PAGES = import.meta.url;

/** The page of a return, made of the document alone. */
export function definition({ made, hash, at }: ReturnPdfInput): PdfDefinition {
  const { producer, premises, period, mapping, status, flags, advice, reportHash } = made;
  const notes = notesOf(made);
  const sources = mapping.sources.map(({ citation, edition }) => `${citation} (${edition})`).join('; ');
  const closed = status === 'closed';
  return onPages(
    {
      title: `${mapping.formTitle}, ${period.startsOn} to before ${period.endsBefore}`,
      createdAt: at,
      runningHead: `${producer.name} · ${premises.name} · ${mapping.formTitle}`,
      runningFoot: `${closed ? 'Made from the closed report' : 'Draft'}, SHA-256 of the return ${hash.slice(0, 16)}… · ${advice}`,
      simulated: producer.simulated,
    },
    [
      { text: mapping.formTitle, fontSize: 16, bold: true, margin: [0, 0, 0, 2] },
      { text: whoText(made), margin: [0, 0, 0, 4] },
      quiet(advice),
      ...(producer.simulated ? [boxed(SIMULATED)] : []),
      ...(closed ? [] : [{ text: 'DRAFT: the period is open; the figures may still change.', bold: true }]),
      linesTable(made),
      ...tiesText(made),
      ...flags.map(({ detail }): Content => ({ text: detail, bold: true, fontSize: 8.5, margin: [0, 2, 0, 0] })),
      ...unmappedPart(made),
      ...(notes.length === 0 ? [] : [quiet(notes.join('; '))]),
      quiet(`Mapping: ${mapping.name}, version ${mapping.number}. Lines published in: ${sources}`),
      quiet(`SHA-256 of the report: ${reportHash}`),
    ],
  );
}
