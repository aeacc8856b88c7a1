import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { DEFAULT_SETTINGS } from '../../../tenancy/producers/producers.dto.js';

/** Days after an event from which an entry counts as late: the producer's setting. */
export const lateAfterDays = ({ lateAfterDays: days = DEFAULT_SETTINGS.lateAfterDays }: ProducerSettings): number =>
  days ?? 1;

/** Hours after an event before which no entry is late: so many working days are at least as many days. */
export const lateAfterHours = (settings: ProducerSettings): number =>
  24 * (settings.lateAfterWorkingDays ?? lateAfterDays(settings));
