import type { PeriodReport } from '../parts/report.dto.js';

/** Format of the document that is made now. */
export const REPORT_FORMAT = 2;

type Newer = 'stages' | 'ties' | 'deficiency' | 'lotsProduced' | 'lateEntries';

const NOTHING = { value: 0, unit: 'L' } as const;

/** What format 1 had not. */
const NOT_THERE: Pick<PeriodReport, Newer> = {
  stages: [],
  ties: [],
  deficiency: {
    litres: NOTHING,
    litresOfPureAlcohol: NOTHING,
    litresOfPureAlcoholForDuty: NOTHING,
    rules: [],
    lines: [],
    entries: [],
    money: [],
    complete: true,
    unexplained: 0,
  },
  lotsProduced: [],
  lateEntries: { afterDays: 1, entries: [] },
};

const SAID =
  'This report was frozen in format 1, which had no stages, ties, deficiency, lots produced or late entries: those parts are empty here because they were not made, not because there was nothing.';

/**
 * A report as it was frozen, for what is made of it. The bytes stay as they are; parts that its format had not are empty, and the statement says so.
 * @param document of any format that was ever frozen
 */
export function frozenReport(document: unknown): PeriodReport {
  const report = document as PeriodReport;
  return report.formatVersion === REPORT_FORMAT
    ? report
    : { ...NOT_THERE, ...report, statement: [...report.statement, SAID] };
}
