import { litresOf, toLitres } from '../../../ledger/books/litres.dto.js';
import type { Litres } from '../../../ledger/books/litres.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import type { PeriodReport } from '../../reporting/documents/report.dto.js';
import type { ReturnMapping } from './mapping.js';
import { cellsOf } from './mapping.js';
import { correctionsOf, takesCorrection, takesFigure, takesRelease, takesReturned } from './values.js';

/** A figure of the report that no line of the form takes. */
export interface Unmapped {
  /** A figure of the books, or a part of the duty. */
  readonly figure: string;
  readonly category: string;
  readonly stage?: string;
  readonly dutyStatus?: string;
  readonly band?: string;
  readonly litres: Litres;
  readonly litresOfPureAlcohol: Litres;
  readonly money?: string;
  /** The mapping leaves its category out on purpose. */
  readonly leftOut: boolean;
}

type Row = Omit<Unmapped, 'leftOut'>;

/** One row a name: containers and directions are not told apart. */
function together(rows: readonly Row[]): Row[] {
  const sums = new Map<string, { row: Row; litres: Decimal; lpa: Decimal; money: Decimal | undefined }>();
  for (const row of rows) {
    const key = [row.figure, row.category, row.stage, row.dutyStatus, row.band].join('|');
    const sum = sums.get(key) ?? { row, litres: new Exact(0), lpa: new Exact(0), money: undefined };
    sum.litres = sum.litres.plus(litresOf(row.litres));
    sum.lpa = sum.lpa.plus(litresOf(row.litresOfPureAlcohol));
    sum.money = row.money === undefined ? sum.money : (sum.money ?? new Exact(0)).plus(row.money);
    sums.set(key, sum);
  }
  return [...sums.values()].map(({ row, litres, lpa, money }) => ({
    ...row,
    litres: toLitres(litres),
    litresOfPureAlcohol: toLitres(lpa),
    ...(money === undefined ? {} : { money: canonicalText(money) }),
  }));
}

function figuresUnmapped(mapping: ReturnMapping, report: PeriodReport): Row[] {
  const cells = cellsOf(mapping);
  if (!cells.some(({ line }) => (line.figures ?? []).length > 0)) return [];
  return report.figures
    .filter(
      (each) =>
        !cells.some(({ line, column }) => (line.figures ?? []).some((term) => takesFigure(term, each, column?.stages))),
    )
    .map(({ figure, category, stage, dutyStatus, litres, litresOfPureAlcohol }) => ({
      figure,
      category,
      stage,
      dutyStatus,
      litres,
      litresOfPureAlcohol,
    }));
}

interface Amount {
  readonly litres: Litres;
  readonly litresOfPureAlcoholForDuty: Litres;
  readonly money?: { readonly amount: string };
}

const dutyRow = (
  figure: string,
  { category, band }: { readonly category: string; readonly band?: string },
  { litres, litresOfPureAlcoholForDuty, money }: Amount,
): Row => ({
  figure,
  category,
  ...(band === undefined ? {} : { band }),
  litres,
  litresOfPureAlcohol: litresOfPureAlcoholForDuty,
  ...(money === undefined ? {} : { money: money.amount }),
});

function dutyUnmapped(mapping: ReturnMapping, report: PeriodReport): Row[] {
  const terms = mapping.lines.flatMap(({ duty = [] }) => duty);
  if (terms.length === 0) return [];
  const of = (part: string) => terms.filter((term) => term.part === part);
  const { duty, deficiency } = report;
  return [
    ...duty.releases
      .filter((each) => !of('releases').some((term) => takesRelease(term, each)))
      .map((each) => dutyRow('releases', each, each)),
    ...duty.returned.groups
      .filter((each) => !of('returned').some((term) => takesReturned(term, each)))
      .map((each) => dutyRow('returned', each, each)),
    ...['under-declared', 'over-declared'].flatMap((part) =>
      correctionsOf(report, part)
        .filter((each) => !of(part).some((term) => takesCorrection(term, each)))
        .map((each) => dutyRow(part, each, each.change)),
    ),
    ...(of('deficiency').length > 0 ? [] : deficiency.lines.map((each) => dutyRow('deficiency', each, each))),
  ];
}

/** Lists what the form leaves unmapped, of the books and of the duty, where it takes anything of them. */
export const unmappedOf = (mapping: ReturnMapping, report: PeriodReport): Unmapped[] =>
  [...together(figuresUnmapped(mapping, report)), ...together(dutyUnmapped(mapping, report))]
    .filter(
      ({ litres, litresOfPureAlcohol, money }) =>
        !litresOf(litres).isZero() || !litresOf(litresOfPureAlcohol).isZero() || money !== undefined,
    )
    .map((row) => ({ ...row, leftOut: mapping.leavesOut?.includes(row.category) === true }));
