import type { ConsolidatedPdfInput } from '../consolidated/consolidated-pdf.js';
import { consolidatedPdf } from '../consolidated/consolidated-pdf.js';
import type { PdfDefinition } from '../render/pdf-maker.js';
import type { ReportPdfInput } from '../period/report-pdf.js';
import { reportPdf } from '../period/report-pdf.js';
import type { LotRecordPdfInput } from '../lot-record/lot-record-pdf.js';
import { lotRecordPdf } from '../lot-record/lot-record-pdf.js';

/** A document to print, as plain data: it goes to another thread. */
export type PrintJob =
  | { readonly kind: 'period-report'; readonly input: ReportPdfInput }
  | { readonly kind: 'consolidated-report'; readonly input: ConsolidatedPdfInput }
  | { readonly kind: 'lot-record'; readonly input: LotRecordPdfInput };

/** What is set in the pages of a document. */
export function definitionOf(job: PrintJob): PdfDefinition {
  switch (job.kind) {
    case 'period-report':
      return reportPdf(job.input);
    case 'consolidated-report':
      return consolidatedPdf(job.input);
    case 'lot-record':
      return lotRecordPdf(job.input);
  }
}
