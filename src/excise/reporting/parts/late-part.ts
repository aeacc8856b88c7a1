import { lateAfterDays } from '../sources/late-after.js';
import { oneOperation } from './links.js';
import type { LateEntries } from '../documents/report-ties.dto.js';
import type { ReportInput } from '../sources/report-input.js';

const DAY_MS = 86_400_000;

export const latePart = ({ late, settings }: ReportInput): LateEntries => ({
  afterDays: lateAfterDays(settings),
  entries: late.map(({ operationId, kind, occurredAt, recordedAt }) => ({
    operationId,
    kind,
    occurredAt: occurredAt.toISOString(),
    recordedAt: recordedAt.toISOString(),
    daysLate: Math.floor((recordedAt.getTime() - occurredAt.getTime()) / DAY_MS),
    operations: oneOperation(operationId),
  })),
});
