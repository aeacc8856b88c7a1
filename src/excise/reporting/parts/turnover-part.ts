import { Temporal } from 'temporal-polyfill';
import type { Figures } from '../../../ledger/books/litres.dto.js';
import type { LineGroup } from '../../../ledger/figures/report-lines.js';
import { figureOf, toFigures, NO_FIGURE } from '../../../ledger/figures/figure.js';
import type { Turnover } from '../documents/report.dto.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import type { ReportInput } from '../sources/report-input.js';
import type { TurnoverRow } from '../sources/turnover.reader.js';

/** Mondays of the weeks that the days touch. */
function weeksOf(startsOn: string, endsBefore: string): string[] {
  const first = Temporal.PlainDate.from(startsOn);
  const weeks: string[] = [];
  let monday = first.subtract({ days: first.dayOfWeek - 1 });
  while (Temporal.PlainDate.compare(monday, endsBefore) < 0) {
    weeks.push(monday.toString());
    monday = monday.add({ weeks: 1 });
  }
  return weeks;
}

const later = (a: string, b: string): string => (a > b ? a : b);

/** Sums of the groups of lines, in all and by week; empty weeks too. */
export const turnoverPart = ({ turnover, period }: ReportInput): Turnover => turnoverOf(turnover, period);

/** The same of what was summed over the days of a span. */
export function turnoverOf(
  turnover: readonly TurnoverRow[],
  { startsOn, endsBefore }: Pick<PeriodRow, 'startsOn' | 'endsBefore'>,
): Turnover {
  const sumsOf = (week: string | null) => {
    const own = turnover.filter((each) => each.week === week && each.dutyStatus === null);
    const sum = (group: LineGroup): Figures => {
      const row = own.find((each) => each.group === group);
      return toFigures(row === undefined ? NO_FIGURE : figureOf(row));
    };
    return { in: sum('in'), out: sum('out'), adjusted: sum('adjusted') };
  };
  return {
    ...sumsOf(null),
    weeks: weeksOf(startsOn, endsBefore).map((week) => ({ startsOn: later(week, startsOn), ...sumsOf(week) })),
  };
}
