import { toLitres } from '../../../ledger/books/litres.dto.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { Exact } from '../../../metrology/decimals.js';
import type { DocumentReference } from '../../shared/document.dto.js';
import type { Receipt, ReceiptDiscrepancy, ReceiptKind } from './receipts.dto.js';

/** Facts of a receipt, as the document of its operation keeps them. Decimals as texts. */
export interface ReceiptFacts {
  readonly kind: ReceiptKind;
  readonly supplier: string;
  readonly document: DocumentReference;
  readonly dutyStatus: string;
  readonly documentedCount?: number;
  readonly litres: string;
  readonly documentedLitres: string;
  readonly refusedLitres: string;
  readonly litresOfPureAlcohol: string;
  /** % vol. */
  readonly strength: number;
  readonly expandedUncertainty: number;
  readonly coverageFactor: number;
}

/** A receipt as it is kept. */
export interface ReceiptRow {
  readonly id: string;
  readonly sequence: bigint;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly recordedAt: Date | null;
  readonly lotId: string | null;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
  readonly vesselId: string | null;
  readonly count: number | null;
  readonly serials: string[] | null;
  readonly facts: ReceiptFacts;
  readonly note: string | null;
  readonly personId: string | null;
  readonly reversed: boolean;
}

/** Difference of what arrived from what the document says; nothing where the two agree and none was refused. */
export function toDiscrepancy(facts: ReceiptFacts): { discrepancy?: ReceiptDiscrepancy } {
  const [documented, litres, refused] = [facts.documentedLitres, facts.litres, facts.refusedLitres].map(
    (each) => new Exact(each),
  );
  const missing = documented.minus(litres).minus(refused);
  if (missing.isZero() && refused.isZero()) {
    return {};
  }
  return {
    discrepancy: {
      documented: toLitres(documented),
      ...(facts.documentedCount === undefined ? {} : { documentedCount: facts.documentedCount }),
      ...(refused.isZero() ? {} : { refused: toLitres(refused) }),
      ...(missing.greaterThan(0) ? { short: toLitres(missing) } : {}),
      ...(missing.lessThan(0) ? { over: toLitres(missing.negated()) } : {}),
    },
  };
}

export function toReceipt(row: Omit<ReceiptRow, 'sequence'>): Receipt {
  const { id, premisesId, occurredAt, recordedAt, facts, reversed } = row;
  const { lotId, compositionId, packagedLotId, vesselId, count, serials, note, personId } = row;
  return {
    id,
    kind: facts.kind,
    premisesId,
    occurredAt: occurredAt.toISOString(),
    ...(recordedAt === null ? {} : { recordedAt: recordedAt.toISOString() }),
    supplier: facts.supplier,
    document: { ...facts.document },
    dutyStatus: facts.dutyStatus,
    litres: toLitres(facts.litres),
    litresOfPureAlcohol: toLitres(facts.litresOfPureAlcohol),
    strength: { value: facts.strength, unit: '%' },
    expandedUncertainty: { value: facts.expandedUncertainty, unit: '%' },
    coverageFactor: facts.coverageFactor,
    ...toDiscrepancy(facts),
    ...given({ lotId, compositionId, packagedLotId, vesselId, count, serials, note, personId }),
    ...(reversed ? { reversed: true } : {}),
  };
}
