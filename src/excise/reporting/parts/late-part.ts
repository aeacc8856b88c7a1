import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { DEFAULT_SETTINGS } from '../../../tenancy/producers/producers.dto.js';
import { oneOperation } from './links.js';
import type { LateEntries } from './report-ties.dto.js';
import type { ReportInput } from '../sources/report-input.js';

const DAY_MS = 86_400_000;

const afterDays = ({ lateAfterDays = DEFAULT_SETTINGS.lateAfterDays }: ProducerSettings): number => lateAfterDays ?? 1;

/** How long after an event an entry counts as late: the producer's setting. */
export const lateAfterHours = (settings: ProducerSettings): number => afterDays(settings) * 24;

export const latePart = ({ late, settings }: ReportInput): LateEntries => ({
  afterDays: afterDays(settings),
  entries: late.map(({ operationId, kind, occurredAt, recordedAt }) => ({
    operationId,
    kind,
    occurredAt: occurredAt.toISOString(),
    recordedAt: recordedAt.toISOString(),
    daysLate: Math.floor((recordedAt.getTime() - occurredAt.getTime()) / DAY_MS),
    operations: oneOperation(operationId),
  })),
});
