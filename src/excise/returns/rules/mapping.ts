import type { RoundingBasis, RoundingMode } from '../../../metrology/rounding-rules.js';
import type { RuleSource } from '../../duty/rules/rule-set.js';
import type { ReportFigureName } from '../../reporting/documents/report-figures.dto.js';

interface UnitFacts {
  /** Measure that the unit counts. */
  readonly measure: 'litres' | 'pure-alcohol' | 'quantity' | 'money' | 'count';
  /** Litres, or litres of pure alcohol, in one unit. */
  readonly litres: string;
  readonly basis: RoundingBasis;
  readonly label: string;
  /** Unit of a quantity for duty that counts the same, and how many of the line's unit one of it is. */
  readonly ofDuty: Readonly<Record<string, string>>;
}

/** Units of a return's lines. The beer barrel of 31 US gallons is 31 × 231 in³ = 117.347765304 L (27 CFR 25.11). */
export const RETURN_UNITS = {
  L: { measure: 'litres', litres: '1', basis: 'litres', label: 'L', ofDuty: {} },
  hL: { measure: 'litres', litres: '100', basis: 'hectolitres', label: 'hL', ofDuty: {} },
  'barrel-31-us-gallons': {
    measure: 'litres',
    litres: '117.347765304',
    basis: 'barrels',
    label: 'barrels',
    ofDuty: { barrel: '1' },
  },
  'L-pure-alcohol': {
    measure: 'pure-alcohol',
    litres: '1',
    basis: 'litres-of-alcohol',
    label: 'L pure alcohol',
    ofDuty: { L: '1', hL: '100', 'hL.%': '1' },
  },
  'hL-pure-alcohol': {
    measure: 'pure-alcohol',
    litres: '100',
    basis: 'hectolitres-of-alcohol',
    label: 'hL pure alcohol',
    ofDuty: { L: '0.01', hL: '1', 'hL.%': '0.01' },
  },
  'hL-plato': {
    measure: 'quantity',
    litres: '1',
    basis: 'hectolitres',
    label: 'hL × °P',
    ofDuty: { 'hL.plato': '1' },
  },
  'proof-gallon': {
    measure: 'quantity',
    litres: '1',
    basis: 'proof-gallons',
    label: 'proof gallons',
    ofDuty: { 'proof-gallon': '1' },
  },
  money: { measure: 'money', litres: '1', basis: 'money', label: '', ofDuty: {} },
  count: { measure: 'count', litres: '1', basis: 'litres', label: 'containers', ofDuty: {} },
} as const satisfies Readonly<Record<string, UnitFacts>>;
export type ReturnUnit = keyof typeof RETURN_UNITS;
export const RETURN_UNIT_NAMES = Object.keys(RETURN_UNITS);

export const SIGNS = ['plus', 'minus'] as const;
export type Sign = (typeof SIGNS)[number];

/** Parts of the report's duty that a line may take. */
export const DUTY_PARTS = ['releases', 'returned', 'under-declared', 'over-declared', 'deficiency'] as const;
export type DutyPart = (typeof DUTY_PARTS)[number];

interface Volume {
  readonly value: number;
  readonly unit: 'L';
}
interface Percent {
  readonly value: number;
  readonly unit: '%';
}

interface Containers {
  readonly categories?: readonly string[];
  readonly containers?: readonly string[];
  /** Nominal volume of one container: from this, and below that. */
  readonly fromVolume?: Volume;
  readonly belowVolume?: Volume;
}

interface Term {
  readonly sign?: Sign;
  /** It takes figures that another term takes too, and the producer knows it. */
  readonly repeated?: boolean;
}

/** Figures of the books. */
export interface FigureTerm extends Containers, Term {
  readonly figures: readonly ReportFigureName[];
  readonly stages?: readonly string[];
  readonly dutyStatus?: string;
  readonly direction?: 'in' | 'out';
}

/** Figures of the report's duty. */
export interface DutyTerm extends Containers, Term {
  readonly part: DutyPart;
  readonly dutyCategories?: readonly string[];
  readonly bands?: readonly string[];
  readonly relieved?: boolean;
  readonly forDispense?: boolean;
  readonly fromStrength?: Percent;
  readonly belowStrength?: Percent;
  /** The quantity that the duty rules calculate, in place of litres times strength. */
  readonly byDutyBasis?: boolean;
}

/** Another line of the form. */
export interface LineTerm {
  readonly line: string;
  readonly column?: string;
  /** The printed value in place of the exact one. */
  readonly rounded?: boolean;
  /** A rate, for example. */
  readonly factor?: number;
  readonly sign?: Sign;
}

export interface ReturnRounding {
  readonly mode: RoundingMode;
  readonly places: number;
}

export interface FormLine {
  readonly line: string;
  readonly label: string;
  /** Columns in which the form has the line; all if left out. */
  readonly columns?: readonly string[];
  readonly unit?: ReturnUnit;
  readonly rounding?: readonly ReturnRounding[];
  /** One row for each degree Plato. */
  readonly byDegree?: boolean;
  readonly figures?: readonly FigureTerm[];
  readonly duty?: readonly DutyTerm[];
  readonly lines?: readonly LineTerm[];
  /** Meaning of the line known from memory only, or the place that asks the authority first. */
  readonly note?: string;
}

export interface FormColumn {
  readonly code: string;
  readonly label: string;
  /** Unit of what stands in it, in place of that of the line. */
  readonly unit?: ReturnUnit;
  /** Stages whose figures stand in it. */
  readonly stages?: readonly string[];
  /** The sum of the other columns. */
  readonly sum?: boolean;
}

/** Lines that have to be equal. */
interface FormTie {
  readonly left: readonly string[];
  readonly right: readonly string[];
  /** In each column, not only in the sum. */
  readonly eachColumn?: boolean;
}

/** A producer's mapping from the figures of its report to the lines of its authority's form: plain data. */
export interface ReturnMapping {
  readonly name: string;
  readonly formTitle: string;
  readonly sources: readonly RuleSource[];
  readonly currency?: string;
  readonly unit: ReturnUnit;
  readonly rounding?: readonly (ReturnRounding & { readonly unit: ReturnUnit })[];
  readonly columns?: readonly FormColumn[];
  readonly lines: readonly FormLine[];
  readonly ties?: readonly FormTie[];
  /** Categories that the form does not take. */
  readonly leavesOut?: readonly string[];
}

export const RETURN_ADVICE = 'Example, not advice; local regulations and licensed practice decide.';

/** One place on the form: a line in a column. Forms without columns have one, without a code. */
export interface Cell {
  readonly line: FormLine;
  readonly index: number;
  readonly column?: FormColumn;
}

/** Columns in which a line has a value of its own, sums left out. */
export function cellsOf(mapping: ReturnMapping): Cell[] {
  const own = (mapping.columns ?? []).filter(({ sum }) => sum !== true);
  return mapping.lines.flatMap((line, index): Cell[] =>
    own.length === 0
      ? [{ line, index }]
      : own
          .filter(({ code }) => line.columns === undefined || line.columns.includes(code))
          .map((column) => ({ line, index, column })),
  );
}

type InCell = Pick<Cell, 'line' | 'column'>;

export const unitOf = (mapping: ReturnMapping, { line, column }: InCell): ReturnUnit =>
  column?.unit ?? line.unit ?? mapping.unit;

/** Rounding steps of a cell: those of its line, else those of its unit. */
export const roundingOf = (mapping: ReturnMapping, cell: InCell): readonly ReturnRounding[] =>
  cell.line.rounding ?? (mapping.rounding ?? []).filter(({ unit }) => unit === unitOf(mapping, cell));
