import type { Content } from 'pdfmake/interfaces.js';
import type { PeriodEvidence } from '../evidence/evidence.dto.js';
import type { EvidenceOperation } from '../evidence/evidence-operation.dto.js';
import {
  calibrationsTable,
  findingsTable,
  instrumentsTable,
  operationsTable,
  readingsTable,
} from '../evidence/evidence-tables.js';
import { runs, words } from '../render/figures-text.js';
import { h1, h2, quiet, table, titled, together } from '../render/page.js';
import type { FigureKey, Operations } from '../render/report-table.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';

interface Reference {
  readonly label: string;
  readonly operations: readonly number[];
}

const keyOf = (key: { figure: string; line?: string; category?: string; accountId?: string }): string =>
  JSON.stringify([key.figure, key.line ?? '', key.category ?? '', key.accountId ?? '']);

function labelOf(key: FigureKey): string {
  switch (key.figure) {
    case 'line':
      return words(key.line);
    case 'category-line':
      return `${words(key.category)}: ${words(key.line)}`;
    case 'stock':
      return `stock: ${key.description}`;
  }
}

/** Numbers of the things of one kind, in their order. */
const numbered = (prefix: string, things: readonly { id: string }[]): [string, string][] =>
  things.map(({ id }, index) => [id, `${prefix}${index + 1}`]);

/** Gives the figures of a document their reference numbers, in the order in which they are printed. */
export class References implements PageContext {
  readonly #operations: ReadonlyMap<string, readonly number[]>;
  readonly #numbers: ReadonlyMap<string, string>;
  readonly #named: ReadonlyMap<string, EvidenceOperation>;
  readonly #given: Reference[] = [];

  constructor(
    evidence: PeriodEvidence,
    readonly timeZone: string,
  ) {
    this.#operations = new Map(evidence.figures.map((each) => [keyOf(each), each.operations]));
    this.#named = new Map(evidence.operations.map((each) => [each.id, each]));
    this.#numbers = new Map([
      ...evidence.operations.map(({ id, sequence }): [string, string] => [id, String(sequence)]),
      ...numbered('F', evidence.findings),
      ...numbered('R', evidence.readings),
      ...numbered('I', evidence.instruments),
      ...numbered('C', evidence.calibrations),
    ]);
  }

  /** Number of an operation, or a new reference number of a figure; empty where no operation of the period is behind it. */
  numberOf({ operationId = '', figure }: Operations): string {
    if (figure === undefined) {
      return this.#numbers.get(operationId) ?? '';
    }
    const operations = this.#operations.get(keyOf(figure));
    if (operations === undefined) {
      return '';
    }
    this.#given.push({ label: labelOf(figure), operations });
    return String(this.#given.length);
  }

  /** Number in the annex; none of a person, who is named in the program alone. */
  referenceOf(id: string): string {
    return this.#numbers.get(id) ?? '';
  }

  operationOf({ operationId = '' }: Operations): EvidenceOperation | undefined {
    return this.#named.get(operationId);
  }

  get given(): readonly Reference[] {
    return this.#given;
  }
}

const figuresPage = (references: References): Content =>
  titled(
    [h2('A  Figures and their operations')],
    table(
      [
        { head: 'Ref.', width: 30, right: true },
        { head: 'Figure', width: 210 },
        { head: 'Operations, No.', width: '*' },
      ],
      references.given.map(({ label, operations }, index) => [String(index + 1), label, runs(operations)]),
      { none: 'No operation of this period is behind a figure.' },
    ),
  );

const operationsPage = (evidence: PeriodEvidence, references: References): Content =>
  tablePage(
    operationsTable(evidence),
    {
      heading: [
        h2('B  Operations'),
        quiet('By local day. Litres are the net effect on stock. The entry is that of the audit trail.'),
      ],
      groupBy: ['day'],
      shown: [
        ['number', 22],
        ['time', 26, 'Time'],
        ['operation', 52],
        ['product', '*'],
        ['count', 24],
        ['litres', 42],
        ['litres_of_pure_alcohol', 40, 'L pure'],
        ['remarks', 66],
        ['rests_on', 32],
        ['trail_entry', 22],
      ],
      none: 'None in this period.',
    },
    references,
  );

const measuredPages = (evidence: PeriodEvidence, references: References): Content[] => [
  tablePage(
    findingsTable(evidence),
    {
      heading: [h2('C  Findings')],
      shown: [
        ['id', 24],
        ['lot', 52],
        ['sampled_at', 68],
        ['method', '*'],
        ['version', 30],
        ['strength_percent', 34],
        ['expanded_uncertainty_percent', 32],
        ['standing', 42],
        ['readings', 36],
        ['based_on', 24],
        ['certificate', 36, 'Cert.'],
      ],
      none: 'None.',
    },
    references,
  ),
  tablePage(
    readingsTable(evidence),
    {
      heading: [h2('D  Readings')],
      shown: [
        ['id', 20],
        ['finding', 20],
        ['use', 34],
        ['lot', 50],
        ['taken_at', 66],
        ['what', 30],
        ['value', 34],
        ['scale', '*'],
        ['temperature_c', 24],
        ['source', 22],
        ['instrument', 18],
        ['calibration', 16],
      ],
      none: 'No finding of this period rests on a reading.',
    },
    references,
  ),
];

const instrumentPages = (evidence: PeriodEvidence, references: References): Content[] => [
  tablePage(
    instrumentsTable(evidence),
    {
      heading: [h2('E  Instruments')],
      shown: [
        ['id', 24],
        ['name', '*'],
        ['kind', 100],
        ['serial_number', 120],
      ],
      none: 'No instrument is named by what this rests on: stated defaults were taken.',
    },
    references,
  ),
  tablePage(
    calibrationsTable(evidence),
    {
      heading: [h2('F  Calibrations')],
      shown: [
        ['id', 24],
        ['instrument', 56],
        ['performed_on', 70],
        ['valid_until', 70],
        ['certificate', '*'],
      ],
      none: 'No calibration is recorded: stated defaults were taken.',
    },
    references,
  ),
];

/** The annex: from the reference numbers to operations, findings, readings, instruments and calibrations. */
export const annex = (evidence: PeriodEvidence, references: References): Content[] => [
  together([
    h1('Annex: evidence of the figures'),
    quiet(
      'A reference number beside a figure leads to the operations of the period behind it (by the producer’s own numbers). Those lead to findings (F), readings (R), instruments (I) and calibrations (C). Each has its address in the interface of the program. People are named there and not here, so that a person can be forgotten.',
    ),
  ]),
  figuresPage(references),
  operationsPage(evidence, references),
  ...measuredPages(evidence, references),
  ...instrumentPages(evidence, references),
];
