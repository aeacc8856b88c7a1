import type { Decimal } from '../../../metrology/decimals.js';
import { canonicalText, Exact, sumOf } from '../../../metrology/decimals.js';
import { applyRounding } from '../../../metrology/rounding-rules.js';
import type { PeriodReport } from '../../reporting/documents/report.dto.js';
import { cellKey, cellsBehind } from './check-lines.js';
import type { Cell, FormColumn, FormLine, LineTerm, ReturnMapping, ReturnUnit } from './mapping.js';
import { cellsOf, RETURN_UNITS, roundingOf, unitOf } from './mapping.js';
import type { Missing } from './values.js';
import { dutyIn, figuresIn, takesFigure, takesRelease } from './values.js';

/** A value of the form, before and after its rounding. */
interface FormValue {
  readonly column?: string;
  readonly degree?: number;
  readonly exact: Decimal;
  readonly printed: Decimal;
  /** With the places of its last rounding. */
  readonly text: string;
}

export interface FilledLine {
  readonly line: FormLine;
  readonly unit: ReturnUnit;
  readonly values: readonly FormValue[];
  readonly missing: readonly Missing[];
}

export interface FilledTie {
  readonly left: readonly string[];
  readonly right: readonly string[];
  readonly column?: string;
  /** Right less left. */
  readonly difference: Decimal;
  readonly printedDifference: Decimal;
}

/** Places of an exact value: a barrel of so many litres has no finite decimal, and the fortieth digit is no difference. */
export const EXACT_PLACES = 12;

type InCell = Pick<Cell, 'line' | 'column'>;

interface CellValue {
  readonly exact: Decimal;
  readonly printed: Decimal;
  readonly rows: readonly FormValue[];
  readonly missing: readonly Missing[];
}

const signed = (value: Decimal, sign: string | undefined): Decimal => (sign === 'minus' ? value.negated() : value);

/** Takes the rounding steps of a line, one after another. */
function rounded(mapping: ReturnMapping, cell: InCell, raw: Decimal): { printed: Decimal; text: string } {
  const { basis } = RETURN_UNITS[unitOf(mapping, cell)];
  const steps = roundingOf(mapping, cell);
  const { line } = cell.line;
  const printed = steps.reduce<Decimal>(
    (value, { mode, places }) => applyRounding({ name: line, basis, mode, places }, value).rounded,
    raw,
  );
  const places = steps.at(-1)?.places;
  const plain = printed.isZero() ? new Exact(0) : printed;
  return { printed: plain, text: places === undefined ? canonicalText(plain) : plain.toFixed(places) };
}

/** The report without money of other currencies: a form adds up one currency. */
function inCurrency(report: PeriodReport, currency: string | undefined): PeriodReport {
  const own = <T extends { readonly money?: { readonly currency: string } }>(each: T): T =>
    each.money === undefined || each.money.currency === currency ? each : { ...each, money: undefined };
  const { duty, deficiency } = report;
  return {
    ...report,
    duty: {
      ...duty,
      groups: duty.groups.map(own),
      returned: { ...duty.returned, groups: duty.returned.groups.map(own) },
      earlierPeriods: duty.earlierPeriods.map((period) => ({
        ...period,
        groups: period.groups.map((group) => ({ ...group, change: own(group.change) })),
      })),
    },
    deficiency: { ...deficiency, money: deficiency.money.filter((each) => each.currency === currency) },
  };
}

/** Fills a form in from a report: each line once, those first that others are made of. */
class Form {
  readonly cells: readonly Cell[];
  readonly #report: PeriodReport;
  readonly #values = new Map<string, CellValue>();

  constructor(
    readonly mapping: ReturnMapping,
    report: PeriodReport,
  ) {
    this.cells = cellsOf(mapping);
    this.#report = inCurrency(report, mapping.currency);
  }

  value(cell: Cell): CellValue {
    const key = cellKey(cell.line.line, cell.column?.code);
    const known = this.#values.get(key);
    if (known !== undefined) return known;
    const value = cell.line.byDegree === true ? this.#byDegree(cell) : this.#whole(cell);
    this.#values.set(key, value);
    return value;
  }

  #whole(cell: Cell): CellValue {
    const { line, column } = cell;
    const unit = unitOf(this.mapping, cell);
    const parts = [
      ...(line.figures ?? []).map((term) => {
        const own = this.#report.figures.filter((each) => takesFigure(term, each, column?.stages));
        return { ...figuresIn(unit, own), sign: term.sign };
      }),
      ...(line.duty ?? []).map((term) => ({ ...dutyIn(this.#report, unit, term), sign: term.sign })),
      ...(line.lines ?? []).map((term) => ({ value: this.#behind(term, cell), missing: [], sign: term.sign })),
    ];
    const exact = sumOf(parts.map(({ value, sign }) => signed(value, sign)));
    const { printed, text } = rounded(this.mapping, cell, exact);
    const place = column === undefined ? {} : { column: column.code };
    return {
      exact,
      printed,
      rows: [{ ...place, exact, printed, text }],
      missing: parts.flatMap(({ missing }) => missing),
    };
  }

  #behind(term: LineTerm, cell: Cell): Decimal {
    const values = cellsBehind(this.mapping, this.cells, term, cell.column?.code).map((each) => this.value(each));
    return sumOf(values.map(({ exact, printed }) => (term.rounded === true ? printed : exact))).times(term.factor ?? 1);
  }

  #byDegree(cell: Cell): CellValue {
    const unit = unitOf(this.mapping, cell);
    const terms = cell.line.duty ?? [];
    const place = cell.column === undefined ? {} : { column: cell.column.code };
    const taken = this.#report.duty.releases.filter((each) => terms.some((term) => takesRelease(term, each)));
    const degrees = [...new Set(taken.map(({ degree }) => degree))].sort((a, b) => (a ?? -1) - (b ?? -1));
    const missing: Missing[] = degrees.includes(undefined) ? ['no-quantity'] : [];
    const rows = degrees.flatMap((degree): FormValue[] => {
      if (degree === undefined) return [];
      const parts = terms.map((term) => ({ ...dutyIn(this.#report, unit, term, degree), sign: term.sign }));
      missing.push(...parts.flatMap((each) => each.missing));
      const exact = sumOf(parts.map(({ value, sign }) => signed(value, sign)));
      return [{ ...place, degree, exact, ...rounded(this.mapping, cell, exact) }];
    });
    return {
      exact: sumOf(rows.map(({ exact }) => exact)),
      printed: sumOf(rows.map(({ printed }) => printed)),
      rows,
      missing,
    };
  }

  /** The value in a sum of columns. */
  sum(line: FormLine, column: FormColumn, own: readonly CellValue[]): FormValue {
    const exact = sumOf(own.map((each) => each.exact));
    return { column: column.code, exact, ...rounded(this.mapping, { line, column }, exact) };
  }
}

/** Lines of the form in their order; entries of one number, which differ by column, stand together. */
function filledLines(form: Form): FilledLine[] {
  const { mapping, cells } = form;
  const names = [...new Set(mapping.lines.map(({ line }) => line))];
  const sums = (mapping.columns ?? []).filter(({ sum }) => sum === true);
  return names.map((name): FilledLine => {
    const own = cells.filter(({ line }) => line.line === name);
    const values = own.map((cell) => form.value(cell));
    const [{ line }] = own;
    return {
      line,
      unit: unitOf(mapping, { line }),
      values: [...values.flatMap(({ rows }) => rows), ...sums.map((column) => form.sum(line, column, values))],
      missing: [...new Set(values.flatMap(({ missing }) => missing))],
    };
  });
}

function filledTies(mapping: ReturnMapping, lines: readonly FilledLine[]): FilledTie[] {
  const columns = mapping.columns ?? [];
  const sum = columns.find((each) => each.sum === true)?.code;
  return (mapping.ties ?? []).flatMap(({ left, right, eachColumn }) => {
    const places = eachColumn === true ? columns.map(({ code }) => code) : [sum];
    return places.map((column): FilledTie => {
      const total = (names: readonly string[], of: 'exact' | 'printed'): Decimal =>
        sumOf(
          lines
            .filter(({ line }) => names.includes(line.line))
            .flatMap(({ values }) => values.filter((each) => each.column === column).map((each) => each[of])),
        );
      return {
        left,
        right,
        ...(column === undefined ? {} : { column }),
        difference: total(right, 'exact').minus(total(left, 'exact')).toDecimalPlaces(EXACT_PLACES),
        printedDifference: total(right, 'printed').minus(total(left, 'printed')),
      };
    });
  });
}

/**
 * Fills in the form of a mapping from a period report. Exact decimals; a line is rounded by its own steps, and lines that refer to others take their
 * exact values unless they say `rounded`.
 *
 * @param mapping checked by `checkMapping`. @param report of any status.
 */
export function fillIn(
  mapping: ReturnMapping,
  report: PeriodReport,
): { readonly lines: readonly FilledLine[]; readonly ties: readonly FilledTie[] } {
  const lines = filledLines(new Form(mapping, report));
  return { lines, ties: filledTies(mapping, lines) };
}
