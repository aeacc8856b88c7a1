import { workingDaysAfter } from '../../../ledger/periods/working-days.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { localDay } from '../../../production/shared/local-day.js';
import { lateAfterDays } from '../sources/late-after.js';
import { oneOperation } from './links.js';
import type { EntriesByWorkingDays, LateEntries, LateEntry } from '../documents/report-ties.dto.js';
import type { LateEntryRow } from '../sources/entry.reader.js';
import type { ReportInput } from '../sources/report-input.js';

const DAY_MS = 86_400_000;

/** Number of entries by the working days that passed between event and entry, in order. */
function byWorkingDays(entryDays: ReportInput['entryDays'], holidays: readonly string[]): EntriesByWorkingDays[] {
  const counts = new Map<number, number>();
  for (const { occurredOn, recordedOn, entries } of entryDays) {
    const workingDays = workingDaysAfter(occurredOn, recordedOn, holidays);
    counts.set(workingDays, (counts.get(workingDays) ?? 0) + entries);
  }
  return [...counts].sort(([a], [b]) => a - b).map(([workingDays, entries]) => ({ workingDays, entries }));
}

/** Entries that were made late by the producer's setting, with who made them, and all entries by how late they were made. */
export function latePart({ late, entryDays, settings, period }: ReportInput): LateEntries {
  const { lateAfterWorkingDays, filingCalendar } = settings;
  const holidays = filingCalendar?.holidays ?? [];
  const entryOf = ({ operationId, kind, occurredAt, recordedAt, personId, keyId }: LateEntryRow): LateEntry => ({
    operationId,
    kind,
    occurredAt: occurredAt.toISOString(),
    recordedAt: recordedAt.toISOString(),
    daysLate: Math.floor((recordedAt.getTime() - occurredAt.getTime()) / DAY_MS),
    workingDaysLate: workingDaysAfter(
      localDay(occurredAt, period.timeZone),
      localDay(recordedAt, period.timeZone),
      holidays,
    ),
    ...given({ personId }),
    keyId,
    operations: oneOperation(operationId),
  });
  return {
    afterDays: lateAfterDays(settings),
    ...(lateAfterWorkingDays === undefined ? {} : { afterWorkingDays: lateAfterWorkingDays }),
    entries: late
      .map(entryOf)
      .filter(({ workingDaysLate }) => lateAfterWorkingDays === undefined || workingDaysLate > lateAfterWorkingDays),
    byWorkingDays: byWorkingDays(entryDays, holidays),
  };
}
