import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import type { DutyStatus } from '../../../ledger/books/account.js';
import { malformed } from '../../shared/references.js';
import { requireSerialEach } from '../containers/container-events.js';
import type { NewReceipt, ReceivedBulk, ReceivedPackaged } from './receipts.dto.js';

/** Litres of a receipt: taken in, refused, and by the document; with the containers of packaged goods. */
export interface Arrived {
  readonly litres: Decimal;
  readonly refused: Decimal;
  readonly documented: Decimal;
  readonly documentedCount: number | undefined;
}

/** Goods of a receipt, of one of the two forms. */
export type ReceivedGoods =
  | { readonly packaged: ReceivedPackaged; readonly bulk: undefined; readonly arrived: Arrived }
  | { readonly packaged: undefined; readonly bulk: ReceivedBulk; readonly arrived: Arrived };

const packagedArrived = ({ nominalVolume, count, refusedCount = 0, documentedCount }: ReceivedPackaged): Arrived => {
  const { litres: nominal } = toBookLitres(nominalVolume);
  const stated = documentedCount ?? count + refusedCount;
  return {
    litres: nominal.times(count),
    refused: nominal.times(refusedCount),
    documented: nominal.times(stated),
    documentedCount: stated,
  };
};

function bulkArrived({ volume, refusedVolume, documentedVolume }: ReceivedBulk): Arrived {
  const { litres } = toBookLitres(volume);
  const refused = refusedVolume === undefined ? new Exact(0) : toBookLitres(refusedVolume).litres;
  const documented = documentedVolume === undefined ? litres.plus(refused) : toBookLitres(documentedVolume).litres;
  return { litres, refused, documented, documentedCount: undefined };
}

/** The goods of a receipt with what arrived. @throws ProblemException `validation-failed` for both forms or none, or nothing that arrived */
export function receivedGoods({ packaged, bulk }: NewReceipt): ReceivedGoods {
  if (packaged !== undefined && bulk === undefined) {
    requireSerialEach(packaged.serials, packaged.count, '/packaged/serials');
    return { packaged, bulk: undefined, arrived: withSomething(packagedArrived(packaged), '/packaged/count') };
  }
  if (bulk !== undefined && packaged === undefined) {
    return { packaged: undefined, bulk, arrived: withSomething(bulkArrived(bulk), '/bulk/volume') };
  }
  throw malformed({ pointer: '/packaged', rule: 'one-of-two', detail: 'Give either packaged or bulk.' });
}

function withSomething(arrived: Arrived, pointer: string): Arrived {
  if (arrived.litres.isZero() && arrived.refused.isZero()) {
    const detail = 'Nothing arrived: give what was taken in, or what was refused.';
    throw malformed({ pointer, rule: 'nothing-arrived', detail });
  }
  return arrived;
}

/** Duty status that the goods enter with. @throws ProblemException `validation-failed` where it contradicts the kind */
export function enteringStatus({ kind, dutyStatus }: NewReceipt): DutyStatus {
  if (kind === 'imported') {
    return dutyStatus ?? 'suspended';
  }
  const own: DutyStatus = kind === 'received-duty-paid' ? 'paid' : 'suspended';
  if (dutyStatus !== undefined && dutyStatus !== own) {
    const detail = `Drink of the kind ${kind} enters with the duty status ${own}: leave dutyStatus out, or give the kind that it came in by.`;
    throw malformed({ pointer: '/dutyStatus', rule: 'kind-says', detail });
  }
  return own;
}

/** Strength that the document states. */
export interface StatedStrength {
  readonly strengthPercent: number;
  /** U and k as stated; undefined where the document states none. */
  readonly stated: { readonly expandedUncertainty: number; readonly coverageFactor: number } | undefined;
}

/** @throws ProblemException `validation-failed` for bulk without a strength, or for U without k or the other way round */
export function documentStrength(body: NewReceipt): StatedStrength {
  const { strength = body.packaged?.declaredStrength, expandedUncertainty, coverageFactor } = body;
  if (strength === undefined) {
    const detail = 'Bulk is received with the strength that its document states.';
    throw malformed({ pointer: '/strength', rule: 'required', detail });
  }
  if ((expandedUncertainty === undefined) !== (coverageFactor === undefined)) {
    const pointer = expandedUncertainty === undefined ? '/expandedUncertainty' : '/coverageFactor';
    throw malformed({ pointer, rule: 'both-or-none', detail: 'Give U and k of the strength, or neither.' });
  }
  return {
    strengthPercent: strength.value,
    stated:
      expandedUncertainty === undefined || coverageFactor === undefined
        ? undefined
        : { expandedUncertainty: expandedUncertainty.value, coverageFactor },
  };
}
