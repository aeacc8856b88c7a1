import { MetrologyError } from '../../../metrology/problem.js';
import type { Cell, LineTerm, ReturnMapping } from './mapping.js';
import { RETURN_UNITS, unitOf } from './mapping.js';

function refuse(rule: string, pointer: string, message: string): never {
  throw new MetrologyError(rule, message, { pointer });
}

/** Name of a cell: its line and its column. */
export const cellKey = (line: string, column: string | undefined): string => `${line}|${column ?? ''}`;

/** Cells that a term refers to: one, or those that a sum of columns adds up; none where the form has no such line there. */
export function cellsBehind(
  mapping: ReturnMapping,
  cells: readonly Cell[],
  { line, column }: LineTerm,
  own: string | undefined,
): Cell[] {
  const wanted = column ?? own;
  const isSum = mapping.columns?.find(({ code }) => code === wanted)?.sum === true;
  return cells.filter((cell) => cell.line.line === line && (isSum || cell.column?.code === wanted));
}

/**
 * Checks the terms that refer to other lines: they exist, count the same measure unless a factor turns one into the other, and no line needs
 * itself.
 *
 * @throws MetrologyError `unknown-line`, `unknown-column`, `contradictory`
 */
export function checkLineTerms(mapping: ReturnMapping, cells: readonly Cell[]): void {
  const measure = (cell: Cell): string => RETURN_UNITS[unitOf(mapping, cell)].measure;
  for (const cell of cells) {
    const { line, index, column } = cell;
    (line.lines ?? []).forEach((term, n) => {
      const pointer = `lines/${index}/lines/${n}`;
      if (!mapping.lines.some((each) => each.line === term.line))
        refuse('unknown-line', `${pointer}/line`, `The form has no line "${term.line}".`);
      if (term.column !== undefined && mapping.columns?.some(({ code }) => code === term.column) !== true)
        refuse('unknown-column', `${pointer}/column`, `The form has no column "${term.column}".`);
      const other = cellsBehind(mapping, cells, term, column?.code).find((each) => measure(each) !== measure(cell));
      if (other !== undefined && term.factor === undefined)
        refuse('contradictory', pointer, `Line "${term.line}" is in another unit than line "${line.line}".`);
    });
  }
  const done = new Set<string>();
  const visit = (cell: Cell, path: readonly string[]): void => {
    const key = cellKey(cell.line.line, cell.column?.code);
    if (path.includes(key))
      refuse('contradictory', `lines/${cell.index}/lines`, `Line "${cell.line.line}" is made of itself.`);
    if (done.has(key)) return;
    for (const term of cell.line.lines ?? []) {
      for (const next of cellsBehind(mapping, cells, term, cell.column?.code)) visit(next, [...path, key]);
    }
    done.add(key);
  };
  cells.forEach((cell) => visit(cell, []));
}
