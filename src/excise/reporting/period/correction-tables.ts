import type { Content } from 'pdfmake/interfaces.js';
import { litresOf, toLitres } from '../../../ledger/books/litres.dto.js';
import type { Litres } from '../../../ledger/books/litres.dto.js';
import { sumOf } from '../../../metrology/decimals.js';
import { grouped } from '../../../platform/grouped.js';
import type { PeriodReport } from '../documents/report.dto.js';
import type { ListedEntry } from '../documents/listed-entry.dto.js';
import { h1, quiet } from '../render/page.js';
import type { ReportTable } from '../render/report-table.js';
import { code, litres, operationPart, operations, tableOf, text } from '../render/report-table.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';

/** Operation that an entry puts right. */
const correctedBy = ({ reverses, corrects, operationId }: ListedEntry): string => reverses ?? corrects ?? operationId;

type Measure = (entry: ListedEntry) => Litres;

/** Before, after and change of a correction: a reversal takes back what was; a difference entry knows its change alone. */
function changeOf(entries: readonly ListedEntry[], measure: Measure) {
  const total = (of: readonly ListedEntry[]) => sumOf(of.map((each) => litresOf(measure(each))));
  const reversals = entries.filter(({ reverses }) => reverses !== undefined);
  const change = toLitres(total(entries));
  return reversals.length === 0
    ? { change }
    : {
        before: toLitres(total(reversals).negated()),
        after: toLitres(total(entries.filter(({ reverses }) => reverses === undefined))),
        change,
      };
}

/** Change of each correction of an earlier period: one row for an entry with what took its place. */
export function correctionChangesTable({ corrections }: PeriodReport): ReportTable {
  const groups = grouped(corrections, (entry) => `${correctedBy(entry)}\n${entry.category}`);
  return tableOf(
    'correction-changes',
    {
      day: text('Day'),
      category: code('Category'),
      reason: code('Reason'),
      litres_before: litres('Litres before'),
      litres_after: litres('after'),
      litres_change: litres('change'),
      litres_of_pure_alcohol_before: litres('L pure before', 3),
      litres_of_pure_alcohol_after: litres('after', 3),
      litres_of_pure_alcohol_change: litres('change', 3),
      operations: operations('Op. No.'),
      name: operationPart('Entry', 'name'),
      goods: operationPart('Goods', 'goods'),
    },
    [...groups.values()].map((entries) => {
      const last = entries[entries.length - 1];
      const ofLitres = changeOf(entries, (each) => each.litres);
      const ofAlcohol = changeOf(entries, (each) => each.litresOfPureAlcohol);
      const operation = { link: last.operations, operationId: last.operationId };
      return {
        day: last.day,
        category: last.category,
        reason: entries.find(({ reasonCode }) => reasonCode !== undefined)?.reasonCode,
        litres_before: ofLitres.before,
        litres_after: ofLitres.after,
        litres_change: ofLitres.change,
        litres_of_pure_alcohol_before: ofAlcohol.before,
        litres_of_pure_alcohol_after: ofAlcohol.after,
        litres_of_pure_alcohol_change: ofAlcohol.change,
        operations: operation,
        name: operation,
        goods: operation,
      };
    }),
  );
}

/** Corrections of closed periods, as their effect on stock. */
export const correctionsPage = (report: PeriodReport, context: PageContext): Content =>
  tablePage(
    correctionChangesTable(report),
    {
      heading: [
        h1('Corrections of earlier periods'),
        quiet('What an entry was and what it is now, as the effect on stock. The CSV lists each entry.'),
      ],
      groupBy: ['category'],
      shown: [
        ['day', 46],
        ['name', 44],
        ['goods', '*'],
        ['reason', 46],
        ['litres_before', 34],
        ['litres_after', 34],
        ['litres_change', 34],
        ['litres_of_pure_alcohol_before', 34],
        ['litres_of_pure_alcohol_after', 34],
        ['litres_of_pure_alcohol_change', 34],
        ['operations', 22],
      ],
      none: 'No earlier period was corrected.',
    },
    context,
  );
