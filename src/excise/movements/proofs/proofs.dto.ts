import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';
import { ProofDiscrepancy } from '../proof-discrepancy.js';
import { SENT_KINDS } from '../sent-goods.reader.js';

const COUNT = { min: 0, max: 100_000_000 };
const VOLUME = { min: 0, max: 999_999_999, maxDecimals: 6 };
const DAYS = { min: 0, max: 100_000 };

export class NewProof {
  @IsPlainText({ max: 120 }, { description: 'Number of the proof of arrival or export.', example: 'PROOF-0001' })
  proof: string;

  @Optional()
  @IsWholeNumber(COUNT, {
    description: 'Containers that were accepted, where the proof says so and they went out by count.',
    example: 47,
  })
  arrivedCount?: number;

  @Optional()
  @IsQuantityOf('volume', VOLUME, { description: 'What was accepted of goods that went out by volume.' })
  arrivedVolume?: WireQuantity;

  @Optional()
  @IsWholeNumber(COUNT, { description: 'Containers that the recipient refused.' })
  refusedCount?: number;

  @Optional()
  @IsQuantityOf('volume', VOLUME, { description: 'What the recipient refused of goods that went out by volume.' })
  refusedVolume?: WireQuantity;

  @Optional()
  @IsId({ description: 'Who entered it.' })
  personId?: string;
}

export class MovementProof {
  @IsId()
  movementId: string;

  @IsPlainText({ max: 120 })
  proof: string;

  @Optional()
  @IsId()
  personId?: string;

  @ApiPropertyOptional({ type: ProofDiscrepancy, description: 'Only where the proof states another quantity.' })
  discrepancy?: ProofDiscrepancy;
}

export class OpenProofQuery {
  @Optional()
  @IsId({ description: 'Only those from these premises.' })
  premisesId?: string;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Only those to this recipient, in capital or small letters.' })
  counterparty?: string;
}

/** Goods sent under suspension or exported whose proof has not come. */
export class OpenProof {
  @IsId()
  movementId: string;

  @IsOneOf(SENT_KINDS)
  kind: string;

  @IsId()
  premisesId: string;

  @IsInstant({ description: 'Since when it is open.' })
  occurredAt: string;

  @IsWholeNumber(DAYS, { description: 'Whole days since then.' })
  daysOpen: number;

  @IsFlag({ description: 'Open for longer than the setting `proofDueDays`; `GET /v1/attention` names it.' })
  overdue: boolean;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Recipient.' })
  counterparty?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the document that went with the goods.' })
  document?: string;

  @ApiProperty({ type: Litres, description: 'As sent.' })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;
}

/** Open proofs of one recipient together. */
export class OpenProofRecipient {
  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Left out for those without a named recipient.' })
  counterparty?: string;

  @IsWholeNumber(DAYS, { description: 'Movements.' })
  open: number;

  @IsWholeNumber(DAYS)
  overdue: number;

  @IsInstant({ description: 'The oldest.' })
  since: string;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;
}

export class OpenProofs {
  @IsInstant({ description: 'Moment of the list.' })
  at: string;

  @IsWholeNumber(DAYS, { description: 'The setting `proofDueDays`.' })
  dueAfterDays: number;

  @NestedList(() => OpenProof, { max: 100_000 }, { description: 'The oldest first.' })
  items: OpenProof[];

  @NestedList(() => OpenProofRecipient, { max: 100_000 }, { description: 'By recipient, in the order of their names.' })
  recipients: OpenProofRecipient[];
}
