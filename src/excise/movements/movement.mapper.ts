import { toLitres } from '../../ledger/books/litres.dto.js';
import { given } from '../../ledger/operations/operations.dto.js';
import type { MovementDutyFacts } from './duty-strength.js';
import type { MovementRow } from './movement.reader.js';
import type { Matched } from './matched.js';
import type { MovementDuty, ReturnedFrom } from './movement-duty.dto.js';
import type { Movement } from './movements.dto.js';
import { toProofDiscrepancy } from './proof-discrepancy.js';
import { pureAlcoholForDuty } from './strength-for-duty.js';

/** The part about duty; nothing where no duty falls due. */
export const toReturnedFrom = (matched: Matched | null | undefined): { returnedFrom?: ReturnedFrom } =>
  matched === null || matched === undefined
    ? {}
    : {
        returnedFrom: {
          matchedBy: matched.by,
          movements: matched.releases.map(({ operationId, litres }) => ({
            movementId: operationId,
            litres: toLitres(litres),
          })),
        },
      };

export function toMovementDuty(facts: MovementDutyFacts | null | undefined, litres: string): { duty?: MovementDuty } {
  if (facts === null || facts === undefined) {
    return {};
  }
  const { dutyDate, declaredStrength, strengthFrom, strengthForDuty, ruleSet } = facts;
  return {
    duty: {
      dutyDate,
      declaredStrength: { value: Number(declaredStrength), unit: '%' },
      strengthFrom,
      strengthForDuty: { value: Number(strengthForDuty), unit: '%' },
      ruleSet,
      litresOfPureAlcohol: toLitres(pureAlcoholForDuty(litres, strengthForDuty)),
    },
  };
}

function toProved({ litres, proved }: MovementRow): Pick<Movement, 'proofDiscrepancy'> {
  const { discrepancy } = toProofDiscrepancy(litres, proved?.arrived ?? null, proved?.refused ?? null);
  return discrepancy === undefined ? {} : { proofDiscrepancy: discrepancy };
}

export function toMovement(row: MovementRow): Movement {
  const { id, kind, premisesId, occurredAt, recordedAt, evidence } = row;
  const {
    lotId,
    compositionId,
    materialLotId,
    packagedLotId,
    count,
    vesselId,
    counterparty,
    reasonCode,
    investigatedBy,
    note,
    personId,
    earlierPeriodId,
  } = row;
  const { witness, dutyStatus, explains, serials, lostFrom, flags } = row;
  return {
    id,
    kind,
    premisesId,
    occurredAt: occurredAt.toISOString(),
    recordedAt: recordedAt.toISOString(),
    litres: toLitres(row.litres),
    litresOfPureAlcohol: toLitres(row.bookLpa),
    ...toMovementDuty(row.duty, row.litres),
    ...toReturnedFrom(row.returnedFrom),
    ...toProved(row),
    evidence,
    ...given({
      lotId,
      compositionId,
      packagedLotId,
      materialLotId,
      count,
      serials,
      vesselId,
      counterparty,
      witness,
      dutyStatus,
      explains,
      lostFrom,
      flags,
      reasonCode,
      investigatedBy,
      note,
      personId,
      earlierPeriodId,
    }),
    ...(row.reversed ? { reversed: true } : {}),
  };
}
