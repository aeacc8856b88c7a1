import { MetrologyError } from '../../../metrology/problem.js';
import { checkLineTerms } from './check-lines.js';
import type { Cell, DutyPart, DutyTerm, FigureTerm, ReturnMapping } from './mapping.js';
import { cellsOf, RETURN_UNITS, unitOf } from './mapping.js';
import { dutyShared, sharedFigures } from './overlap.js';

/** Names that the producer has. */
export interface KnownNames {
  /** Categories of its books. */
  readonly categories: readonly string[];
  /** Categories of its duty rules. */
  readonly dutyCategories: readonly string[];
}

function refuse(rule: string, pointer: string, message: string, allowed?: readonly string[]): never {
  throw new MetrologyError(rule, message, { pointer, ...(allowed === undefined ? {} : { allowed }) });
}

/** Filters that a part of the duty can be taken apart by. */
const FILTERS: Readonly<Record<DutyPart, readonly (keyof DutyTerm)[]>> = {
  releases: [
    'categories',
    'containers',
    'fromVolume',
    'belowVolume',
    'dutyCategories',
    'bands',
    'relieved',
    'forDispense',
    'fromStrength',
    'belowStrength',
    'byDutyBasis',
  ],
  returned: ['dutyCategories', 'bands', 'byDutyBasis'],
  'under-declared': ['dutyCategories', 'bands', 'relieved', 'byDutyBasis'],
  'over-declared': ['dutyCategories', 'bands', 'relieved', 'byDutyBasis'],
  deficiency: [],
};

/**
 * Refuses a mapping that cannot be filled in without doubt, and returns it: a line twice; a line without a figure, or in a unit that its figures do
 * not have; a figure that two terms take; a category that the producer has not, or that no line takes; lines that refer to one another in a circle.
 *
 * @throws MetrologyError `twice`, `contradictory`, `required`, `unknown-line`, `unknown-column`, `unknown-category`, `category-in-none`
 */
export function checkMapping(mapping: ReturnMapping, known: KnownNames): ReturnMapping {
  checkColumns(mapping);
  const cells = cellsOf(mapping);
  checkCells(cells);
  cells.forEach((cell) => checkCell(mapping, cell));
  checkLineTerms(mapping, cells);
  checkFigures(mapping, cells);
  checkDuty(mapping, cells);
  checkCategories(mapping, known);
  checkTies(mapping);
  return mapping;
}

function checkColumns({ columns = [], lines }: ReturnMapping): void {
  columns.forEach(({ code, sum, stages }, i) => {
    if (columns.findIndex((each) => each.code === code) < i)
      refuse('twice', `columns/${i}/code`, `The column "${code}" stands there already.`);
    if (sum === true && stages !== undefined)
      refuse('contradictory', `columns/${i}/stages`, 'A sum of the other columns has no stages of its own.');
  });
  const own = columns.filter(({ sum }) => sum !== true).map(({ code }) => code);
  lines.forEach((line, i) =>
    (line.columns ?? []).forEach((code, n) => {
      if (!own.includes(code))
        refuse('unknown-column', `lines/${i}/columns/${n}`, `The form has no column "${code}" to fill in.`, own);
    }),
  );
}

function checkCells(cells: readonly Cell[]): void {
  const seen = new Set<string>();
  for (const { line, index, column } of cells) {
    const key = `${line.line}|${column?.code ?? ''}`;
    if (seen.has(key)) {
      const where = column === undefined ? '' : ` in the column "${column.code}"`;
      refuse('twice', `lines/${index}/line`, `Line "${line.line}" stands there twice${where}.`);
    }
    seen.add(key);
  }
}

function checkCell(mapping: ReturnMapping, cell: Cell): void {
  const { line } = cell;
  const pointer = `lines/${cell.index}`;
  const { figures = [], duty = [], lines = [] } = line;
  const unit = unitOf(mapping, cell);
  const { measure } = RETURN_UNITS[unit];
  if (figures.length + duty.length + lines.length === 0)
    refuse('required', pointer, `Line "${line.line}" takes nothing: give it figures, duty or other lines.`);
  if (measure === 'money' && mapping.currency === undefined)
    refuse('required', 'currency', 'A form with money needs a currency (ISO 4217).');
  if (figures.length > 0 && !['litres', 'pure-alcohol'].includes(measure))
    refuse('contradictory', `${pointer}/figures`, `Figures of the books are litres; they have no ${unit}.`);
  if (line.byDegree === true && (figures.length + lines.length > 0 || duty.some(({ part }) => part !== 'releases')))
    refuse('contradictory', `${pointer}/byDegree`, 'Only releases are told apart by degree Plato.');
  [...figures, ...duty].forEach((term) => {
    if ((term.fromVolume?.value ?? 0) >= (term.belowVolume?.value ?? Infinity))
      refuse('contradictory', pointer, 'No container is as large as the one and smaller than the other.');
  });
  duty.forEach((term, n) => checkDutyTerm(term, measure, `${pointer}/duty/${n}`));
}

function checkDutyTerm(term: DutyTerm, measure: string, pointer: string): void {
  const { part } = term;
  const filters = FILTERS[part];
  for (const name of FILTERS.releases) {
    if (term[name] !== undefined && !filters.includes(name))
      refuse('contradictory', `${pointer}/${name}`, `The part "${part}" is not told apart by ${name}.`);
  }
  const needsRelease = measure === 'count' || (part === 'deficiency' && measure === 'quantity');
  if (needsRelease && part !== 'releases')
    refuse('contradictory', `${pointer}/part`, `The part "${part}" has no ${measure}.`);
  if ((term.fromStrength?.value ?? 0) >= (term.belowStrength?.value ?? Infinity))
    refuse('contradictory', `${pointer}/belowStrength`, 'The strength ends above where it begins.');
}

const measureOf = (mapping: ReturnMapping, cell: Cell): string => RETURN_UNITS[unitOf(mapping, cell)].measure;

/** Each figure of the books in one cell only, in one measure. */
function checkFigures(mapping: ReturnMapping, cells: readonly Cell[]): void {
  const taken: { term: FigureTerm; cell: Cell }[] = [];
  for (const cell of cells) {
    (cell.line.figures ?? []).forEach((term, n) => {
      const earlier = taken.find(
        (each) =>
          measureOf(mapping, each.cell) === measureOf(mapping, cell) &&
          sharedFigures(each.term, term, [each.cell.column?.stages, cell.column?.stages]).length > 0,
      );
      if (earlier !== undefined && term.repeated !== true) {
        const [name] = sharedFigures(earlier.term, term);
        refuse(
          'twice',
          `lines/${cell.index}/figures/${n}`,
          `"${name}" is taken by line "${earlier.cell.line.line}" already. Say repeated: true if line "${cell.line.line}" is to take it too.`,
        );
      }
      taken.push({ term, cell });
    });
  }
}

function checkDuty(mapping: ReturnMapping, cells: readonly Cell[]): void {
  const taken: { term: DutyTerm; cell: Cell }[] = [];
  for (const cell of cells) {
    (cell.line.duty ?? []).forEach((term, n) => {
      const earlier = taken.find(
        (each) => measureOf(mapping, each.cell) === measureOf(mapping, cell) && dutyShared(each.term, term),
      );
      if (earlier !== undefined && term.repeated !== true) {
        refuse(
          'twice',
          `lines/${cell.index}/duty/${n}`,
          `Duty of the part "${term.part}" is taken by line "${earlier.cell.line.line}" already. Say repeated: true if line "${cell.line.line}" is to take it too.`,
        );
      }
      taken.push({ term, cell });
    });
  }
}

type Named = { readonly names: readonly string[] | undefined; readonly pointer: string };

function checkCategories({ lines, leavesOut = [] }: ReturnMapping, known: KnownNames): void {
  const terms = (of: 'figures' | 'duty'): Named[] =>
    lines.flatMap((line, i) =>
      (line[of] ?? []).map(({ categories }, n) => ({ names: categories, pointer: `lines/${i}/${of}/${n}/categories` })),
    );
  const rules = lines.flatMap((line, i): Named[] =>
    (line.duty ?? []).map(({ dutyCategories }, n) => ({
      names: dutyCategories,
      pointer: `lines/${i}/duty/${n}/dutyCategories`,
    })),
  );
  requireKnown([...terms('figures'), ...terms('duty'), { names: leavesOut, pointer: 'leavesOut' }], known.categories);
  requireKnown(rules, known.dutyCategories, ' of the duty rules');
  for (const own of [terms('figures'), terms('duty')]) {
    const none = own.length === 0 || own.some(({ names }) => names === undefined);
    const covered = [...leavesOut, ...own.flatMap(({ names }) => names ?? [])];
    const missing = none ? [] : known.categories.filter((name) => !covered.includes(name));
    if (missing.length > 0)
      refuse(
        'category-in-none',
        'lines',
        `No line takes ${missing.map((name) => `"${name}"`).join(', ')}. Give it a line, or name it in leavesOut.`,
        missing,
      );
  }
}

function requireKnown(terms: readonly Named[], known: readonly string[], of = ''): void {
  for (const { names, pointer } of terms) {
    (names ?? []).forEach((name, n) => {
      if (!known.includes(name)) {
        const have = known.length === 0 ? 'none yet' : known.join(', ');
        refuse('unknown-category', `${pointer}/${n}`, `You have no category${of} "${name}"; you have ${have}.`, known);
      }
    });
  }
}

function checkTies({ ties = [], lines }: ReturnMapping): void {
  ties.forEach((tie, i) =>
    (['left', 'right'] as const).forEach((side) =>
      tie[side].forEach((name, n) => {
        if (!lines.some(({ line }) => line === name))
          refuse('unknown-line', `ties/${i}/${side}/${n}`, `The form has no line "${name}".`);
      }),
    ),
  );
}
