import type { Decimal } from '../../../metrology/decimals.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import { malformed } from '../../shared/references.js';

/** Events of a container; `came-empty` says nothing of its former contents. */
export const CONTAINER_EVENTS = ['filled', 'out', 'back', 'emptied', 'came-empty'] as const;
export type ContainerEvent = (typeof CONTAINER_EVENTS)[number];

/** Most serials that one event names. */
export const MOST_SERIALS = 5_000;

/** Rows of one event of containers; none where no serials are given. */
export const containerRows = (
  serials: readonly string[] | undefined,
  facts: {
    readonly operationId: string;
    readonly event: ContainerEvent;
    readonly packagedLotId?: string;
    /** In each. */
    readonly litres?: Decimal;
  },
): RowOf<'containerEvent'>[] =>
  (serials ?? []).map((serial) => ({
    operationId: facts.operationId,
    serial,
    event: facts.event,
    packagedLotId: facts.packagedLotId ?? null,
    litres: facts.litres?.toFixed() ?? null,
  }));

/** @throws ProblemException `validation-failed` unless there is a serial for each container */
export function requireSerialEach(serials: readonly string[] | undefined, count: number): void {
  if (serials !== undefined && serials.length !== count) {
    const detail = `${serials.length} serials were given for ${count} containers: give one for each container, or none.`;
    throw malformed({ pointer: '/serials', rule: 'one-each', detail });
  }
}
