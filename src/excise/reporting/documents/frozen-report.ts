import type { PeriodReport } from './report.dto.js';

/** Format of the document. */
export const REPORT_FORMAT_VERSION = 1;

/**
 * A frozen document that is parsed already.
 * @throws Error where it is of another format
 */
export function reportOf(document: unknown): PeriodReport {
  const report = document as PeriodReport;
  if (report.formatVersion !== REPORT_FORMAT_VERSION) {
    throw new Error(`A report of format ${String(report.formatVersion)} cannot be read: only format 1 is known.`);
  }
  return report;
}

/** The document of a period report, from its bytes. */
export const frozenReport = (bytes: string): PeriodReport => reportOf(JSON.parse(bytes));
