import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { DEFAULT_SETTINGS } from '../../../tenancy/producers/producers.dto.js';

/** Days after an event from which an entry counts as late: the producer's setting. */
export const lateAfterDays = ({ lateAfterDays: days = DEFAULT_SETTINGS.lateAfterDays }: ProducerSettings): number =>
  days ?? 1;
