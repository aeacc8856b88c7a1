import type { Flag } from '../../../production/shared/flag.dto.js';
import { canonicalText } from '../../../metrology/decimals.js';
import type { PeriodReport } from '../../reporting/documents/report.dto.js';
import type { FilledLine, FilledTie } from '../rules/fill-in.js';
import { EXACT_PLACES, fillIn } from '../rules/fill-in.js';
import type { ReturnMapping } from '../rules/mapping.js';
import { RETURN_ADVICE } from '../rules/mapping.js';
import { unmappedOf } from '../rules/unmapped.js';
import type { PeriodReturn, ReturnLine, ReturnTie } from './return.dto.js';

/** Sources of a return. */
export interface ReturnInput {
  readonly report: PeriodReport;
  readonly reportHash: string;
  readonly mappingId: string;
  readonly mappingNumber: number;
  readonly mapping: ReturnMapping;
}

const lineOf = ({ line, unit, values }: FilledLine): ReturnLine => ({
  line: line.line,
  label: line.label,
  unit,
  computed: line.figures === undefined && line.duty === undefined,
  ...(line.note === undefined ? {} : { note: line.note }),
  values: values.map(({ column, degree, exact, text }) => ({
    ...(column === undefined ? {} : { column }),
    ...(degree === undefined ? {} : { degree }),
    exact: canonicalText(exact.toDecimalPlaces(EXACT_PLACES)),
    value: text,
  })),
});

const tieOf = ({ left, right, column, difference, printedDifference }: FilledTie): ReturnTie => ({
  left: [...left],
  right: [...right],
  ...(column === undefined ? {} : { column }),
  difference: canonicalText(difference),
  printedDifference: canonicalText(printedDifference),
  balances: difference.isZero(),
});

const MISSING = {
  'no-money': 'Some of what it takes has no duty in the currency of the form: the rules of duty have no rate for it.',
  'no-quantity': 'Some of what it takes has no quantity for duty in the unit of the line.',
} as const;

const names = (lines: readonly string[]): string => lines.join(' + ');

function flagsOf(lines: readonly FilledLine[], ties: readonly FilledTie[]): Flag[] {
  return [
    ...lines.flatMap(({ line, missing }) =>
      missing.map((code) => ({ code, detail: `Line ${line.line}: ${MISSING[code]}` })),
    ),
    ...ties
      .filter(({ difference }) => !difference.isZero())
      .map(({ left, right, column, difference }) => ({
        code: 'tie-does-not-balance',
        detail: `Lines ${names(left)} and ${names(right)}${column === undefined ? '' : `, column ${column}`}, differ by ${canonicalText(difference)}.`,
      })),
  ];
}

/** Makes the return of a report and a mapping: the same two make the same document. */
export function returnDocument({ report, reportHash, mapping, ...version }: ReturnInput): PeriodReturn {
  const { lines, ties } = fillIn(mapping, report);
  const { name, formTitle, sources, currency, columns = [] } = mapping;
  return {
    format: 'gaugebook-return',
    formatVersion: 1,
    status: report.status === 'closed' ? 'closed' : 'draft',
    producer: report.producer,
    premises: report.premises,
    period: report.period,
    reportHash,
    mapping: {
      id: version.mappingId,
      name,
      number: version.mappingNumber,
      formTitle,
      sources: sources.map((each) => ({ ...each })),
    },
    ...(currency === undefined ? {} : { currency }),
    columns: columns.map(({ code, label, unit }) => ({ code, label, ...(unit === undefined ? {} : { unit }) })),
    lines: lines.map(lineOf),
    ties: ties.map(tieOf),
    unmapped: unmappedOf(mapping, report).map((each) => ({ ...each })),
    flags: flagsOf(lines, ties),
    advice: RETURN_ADVICE,
  };
}
