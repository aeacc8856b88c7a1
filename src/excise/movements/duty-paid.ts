import type { DutyPaidBy } from './movement-duty.dto.js';
import type { MovementRow } from './movement.reader.js';

/** Returns of duty-paid goods before a movement; of the same containers where both were entered by serial. */
const cameBack = (row: MovementRow, other: MovementRow): boolean =>
  other.kind === 'return' &&
  other.dutyStatus === 'paid' &&
  !other.reversed &&
  other.occurredAt <= row.occurredAt &&
  (row.serials === null || other.serials === null || row.serials.some((serial) => other.serials?.includes(serial)));

/** Releases by which the duty fell due that was paid on goods, through the returns of these goods. @param others movements of the packaged lot, out and back */
export function dutyPaidBy(row: MovementRow, others: readonly MovementRow[]): DutyPaidBy[] {
  const byId = new Map(others.map((each) => [each.id, each]));
  return others
    .filter((other) => cameBack(row, other))
    .flatMap(({ id, returnedFrom }) =>
      (returnedFrom?.releases ?? []).flatMap(({ operationId }) => {
        const dutyDate = byId.get(operationId)?.dutyDate ?? null;
        return dutyDate === null ? [] : [{ movementId: operationId, dutyDate, returnId: id }];
      }),
    );
}
