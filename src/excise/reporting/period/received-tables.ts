import type { Content } from 'pdfmake/interfaces.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { h1 } from '../render/page.js';
import type { ReportTable } from '../render/report-table.js';
import { code, FIGURES, figureCells, instant, litres, operations, tableOf, text } from '../render/report-table.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';

/** Each receipt with who sent it, its document, and what arrived differently. */
export const receivedTable = ({ received }: PeriodReport): ReportTable =>
  tableOf(
    'received',
    {
      line: code('Line'),
      day: text('Day'),
      occurred_at: instant('Occurred (local)'),
      product: text('Product'),
      category: code('Category'),
      duty_status: code('Duty'),
      supplier: text('Supplier'),
      document: text('Document'),
      document_date: text('Dated'),
      documented_litres: litres('By the document'),
      refused_litres: litres('Refused'),
      short_litres: litres('Short'),
      over_litres: litres('Over'),
      operations: operations('Op. No.'),
      ...FIGURES,
    },
    received.map((each) => ({
      line: each.line,
      day: each.day,
      occurred_at: each.occurredAt,
      product: each.product,
      category: each.category,
      duty_status: each.dutyStatus,
      supplier: each.supplier,
      document: each.document?.number,
      document_date: each.document?.date,
      documented_litres: each.discrepancy?.documented,
      refused_litres: each.discrepancy?.refused,
      short_litres: each.discrepancy?.short,
      over_litres: each.discrepancy?.over,
      operations: { link: each.operations, operationId: each.operationId },
      ...figureCells(each),
      emphasised: each.discrepancy !== undefined,
    })),
  );

export const receivedPage = (report: PeriodReport, context: PageContext): Content =>
  tablePage(
    receivedTable(report),
    {
      heading: [h1('Received from others')],
      shown: [
        ['day', 50],
        ['line', 58],
        ['product', '*'],
        ['supplier', 70],
        ['document', 52],
        ['documented_litres', 40],
        ['litres', 52],
        ['litres_of_pure_alcohol', 52],
        ['operations', 26],
      ],
      none: 'Nothing that contains alcohol was received.',
    },
    context,
  );
