import { inWords } from '../../ledger/periods/period-days.js';
import { dayAt } from '../../ledger/periods/period-edges.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { NewFiling } from './filings.dto.js';
import type { FilingRow } from './filings.reader.js';

const refused = (detail: string, member: Record<string, unknown>): ProblemException =>
  new ProblemException('conflict', detail, { members: member });

const badDay = (rule: string, detail: string): ProblemException =>
  new ProblemException('out-of-range', detail, { errors: [{ pointer: '/filedOn', rule, detail }] });

/** @throws ProblemException `out-of-range` for a day before the period's end, before the filing that is amended, or in the future */
function requireDay(filedOn: string, period: PeriodRow, last: FilingRow | undefined, now: Date): void {
  if (filedOn < period.endsBefore) {
    throw badDay(
      'after-end',
      `The period ends with the day before ${period.endsBefore}. A report is filed after that.`,
    );
  }
  const today = dayAt(now, period.timeZone);
  if (filedOn > today) {
    throw badDay('not-ahead', `Today is ${today} at the premises. Enter the filing once it is done.`);
  }
  if (last !== undefined && filedOn < last.filedOn) {
    throw badDay('after-amended', `The filing that it amends is of ${last.filedOn}. Give that day or a later one.`);
  }
}

/**
 * Refuses a filing that does not fit the period and its earlier filings.
 *
 * @throws ProblemException `conflict` for an open period, for one that is filed without `amends`, and for `amends` that is not its latest filing;
 *   `out-of-range` for the day
 */
export function requireFileable(body: NewFiling, period: PeriodRow, filed: readonly FilingRow[], now: Date): void {
  if (period.reportId === null) {
    throw refused(`The period of ${inWords(period)}, is open. Close it, then file its report.`, { period: period.id });
  }
  const last = filed.at(-1);
  if (body.amends === undefined && last !== undefined) {
    throw refused(
      `The report was filed on ${last.filedOn} under ${last.reference}. If you filed it again, name that filing in \`amends\`.`,
      { filing: last.id },
    );
  }
  if (body.amends !== undefined && body.amends !== last?.id) {
    throw last === undefined
      ? refused('The report was not filed yet, so there is nothing to amend. Leave out `amends`.', {
          period: period.id,
        })
      : refused(
          `Only the latest filing is amended: that of ${last.filedOn} under ${last.reference}. Name it in \`amends\`.`,
          { filing: last.id },
        );
  }
  requireDay(body.filedOn, period, last, now);
}
