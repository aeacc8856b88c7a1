import { litresOf, toLitres } from '../../../ledger/books/litres.dto.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { sumOf } from '../../../metrology/decimals.js';
import { grouped } from '../../../platform/grouped.js';
import type { OpenProof, OpenProofRecipient } from './proofs.dto.js';
import type { SentRow } from '../sent-goods.reader.js';

const DAY_MS = 24 * 3_600_000;

export function toOpenProof(
  row: SentRow,
  { now, dueDays }: { readonly now: Date; readonly dueDays: number },
): OpenProof {
  const openMs = Math.max(0, now.getTime() - row.occurredAt.getTime());
  const { id, kind, premisesId, occurredAt, counterparty, document, litres, lpa } = row;
  return {
    movementId: id,
    kind,
    premisesId,
    occurredAt: occurredAt.toISOString(),
    daysOpen: Math.floor(openMs / DAY_MS),
    overdue: openMs > dueDays * DAY_MS,
    ...given({ counterparty, document }),
    litres: toLitres(litres),
    litresOfPureAlcohol: toLitres(lpa),
  };
}

/** Open proofs together by recipient; those without one last. */
export const toRecipients = (items: readonly OpenProof[]): OpenProofRecipient[] =>
  [...grouped(items, ({ counterparty }) => counterparty ?? '')]
    .sort(([a], [b]) => (a === '' ? 1 : b === '' ? -1 : a.localeCompare(b)))
    .map(([counterparty, own]) => ({
      ...(counterparty === '' ? {} : { counterparty }),
      open: own.length,
      overdue: own.filter(({ overdue }) => overdue).length,
      since: own[0].occurredAt,
      litresOfPureAlcohol: toLitres(sumOf(own.map((each) => litresOf(each.litresOfPureAlcohol)))),
    }));
