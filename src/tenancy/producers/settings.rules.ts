import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { DueRule } from './filing-calendar.dto.js';
import type { ReturnSettings } from './return-settings.dto.js';

const LAST_DAY_OF_A_MONTH = 31;

const malformed = (pointer: string, rule: string, detail: string): ProblemException =>
  new ProblemException('validation-failed', detail, { errors: [{ pointer: `/settings/${pointer}`, rule, detail }] });

function requireNumber({ kind, number }: DueRule, pointer: string): void {
  if (kind === 'last-day-of-following-month') {
    if (number !== undefined) {
      throw malformed(pointer, 'not-with-kind', 'The last day of a month has no number.');
    }
    return;
  }
  if (number === undefined) {
    throw malformed(pointer, 'required', 'Give the day of the month, or the number of days.');
  }
  if (kind === 'day-of-following-month' && number > LAST_DAY_OF_A_MONTH) {
    throw malformed(pointer, 'range', 'A month has 31 days at the most.');
  }
}

function requireOnce(names: readonly string[], pointer: string): void {
  const twice = names.findIndex((name, index) => names.indexOf(name) < index);
  if (twice >= 0) {
    throw malformed(`productionYear/${pointer}/${twice}`, 'not-unique', `${names[twice]} stands there twice.`);
  }
}

/** @throws ProblemException `validation-failed` for a member’s year, or the name of a threshold, that stands there twice */
export function requireProductionYear({ productionYear }: ReturnSettings): void {
  const { group = [], thresholds = [] } = productionYear ?? {};
  requireOnce(
    group.map(({ member, year }) => `${member} ${year}`),
    'group',
  );
  requireOnce(
    thresholds.map(({ name }) => name),
    'thresholds',
  );
}

/** @throws ProblemException `validation-failed` for a day of the calendar that its kind cannot have */
export function requireCalendar({ filingCalendar }: ReturnSettings): void {
  if (filingCalendar !== undefined) {
    requireNumber(filingCalendar.due, 'filingCalendar/due/number');
    requireNumber(filingCalendar.payment ?? filingCalendar.due, 'filingCalendar/payment/number');
  }
}
