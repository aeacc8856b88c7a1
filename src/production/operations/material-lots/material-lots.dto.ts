import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsQueryFlag,
} from '../../../platform/validation/fields.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { DayQuery } from '../../../platform/pagination.js';
import { DocumentReference } from '../../shared/document.dto.js';
import { StrengthCertificate } from '../../shared/strength-certificate.dto.js';
import { dayOf } from '../../shared/local-day.js';
import { Flag } from '../../shared/flag.dto.js';
import { IsOwner } from '../../shared/owner.js';
import { EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export const DUTY_STATUSES = ['suspended', 'paid'] as const;

export class NewMaterialLot extends EventBody {
  @IsId()
  materialId: string;

  @IsId({ description: 'Where it came in.' })
  premisesId: string;

  @IsPlainText({ max: 60 }, { description: 'The producer’s own name for it.', example: 'NS-2026-03' })
  code: string;

  @Optional()
  @IsPlainText({ max: 120 }, { example: 'Spirit merchant (invented)' })
  supplier?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  supplierLot?: string;

  @Optional()
  @Nested(() => DocumentReference, {
    description:
      'The document that came with it. For what contains alcohol it stands in the evidence and in the period report.',
  })
  document?: DocumentReference;

  @Optional()
  @IsQuantityOf(
    'mass',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    {
      description: 'Either mass or volume. A material that contains alcohol is received by volume at 20 °C.',
    },
  )
  mass?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    { example: { value: 25, unit: 'L' } },
  )
  volume?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 6 },
    {
      description: 'Of this lot, % vol at 20 °C; that of the material if left out. A spirit needs one of the two.',
      example: { value: 96, unit: '%' },
    },
  )
  strength?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 10, maxDecimals: 6 },
    {
      description: 'Of the strength; ± 0.3 % vol rectangular if left out.',
    },
  )
  strengthStandardUncertainty?: WireQuantity;

  @Optional()
  @Nested(() => StrengthCertificate, {
    description: 'Certificate of the strength, in place of its standard uncertainty.',
  })
  certificate?: StrengthCertificate;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    {
      description:
        'Of the volume of a material with alcohol; ± 0.5 % rectangular if left out, as a meter of class 0.5 has.',
    },
  )
  volumeStandardUncertainty?: WireQuantity;

  @Optional()
  @IsOneOf(DUTY_STATUSES, { description: 'suspended (the default) or duty paid; the two are kept apart.' })
  dutyStatus?: (typeof DUTY_STATUSES)[number];

  @Optional()
  @IsOwner({ description: 'The business whose material it is, by its name; left out, the producer owns it.' })
  owner?: string;
}

export class MaterialLotQuery extends DayQuery {
  @Optional()
  @IsId({ description: 'Only those that came in at these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those of this material.' })
  materialId?: string;

  @Optional()
  @IsPlainText(
    { max: 60 },
    { description: 'Only those with this code, in capital or small letters.', example: 'NS-2026-03' },
  )
  code?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Only those with this lot number of the supplier.' })
  supplierLot?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Only those under this document number.' })
  documentNumber?: string;

  @Optional()
  @IsQueryFlag({ description: 'true: only those of which more was taken than they had.' })
  belowZero?: boolean;
}

export class MaterialLot {
  @IsId()
  id: string;

  @IsId()
  materialId: string;

  @IsId()
  premisesId: string;

  @IsPlainText({ max: 60 })
  code: string;

  @Optional()
  @IsPlainText({ max: 120 })
  supplier?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  supplierLot?: string;

  @Optional()
  @Nested(() => DocumentReference)
  document?: DocumentReference;

  @IsQuantityOf('volume', {}, { description: 'As received; a volume in L, or a mass in kg.' })
  quantity: WireQuantity;

  @Optional()
  @IsQuantityOf('fraction')
  strength?: WireQuantity;

  @IsQuantityOf(
    'volume',
    {},
    {
      description:
        'On hand now: by the books for a material with alcohol; else what was received or last counted, less what was used and written off since. Below zero, more was taken than it had.',
    },
  )
  onHand: WireQuantity;

  @Optional()
  @IsOneOf(DUTY_STATUSES, { description: 'Of a material with alcohol.' })
  dutyStatus?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Left out for what the producer owns.' })
  owner?: string;

  @IsInstant()
  receivedAt: string;

  @Optional()
  @IsId({ description: 'The receipt in the books, for a material that contains alcohol.' })
  operationId?: string;
}

/** A material lot as it was received, with what is doubted about it. */
export class ReceivedMaterialLot extends MaterialLot {
  @Optional()
  @NestedList(() => Flag, { max: 10 }, { description: 'Doubts about the entry; only in this answer.' })
  flags?: Flag[];
}

export class MaterialLotPage extends ListOf(MaterialLot) {}

export interface MaterialLotFacts {
  readonly id: string;
  readonly materialId: string;
  readonly premisesId: string;
  readonly code: string;
  readonly supplier: string | null;
  readonly supplierLot: string | null;
  readonly documentNumber: string | null;
  readonly documentDate: Date | null;
  readonly quantity: number;
  readonly onHand: number;
  readonly unit: string;
  readonly strengthPercent: number | null;
  readonly dutyStatus: string | null;
  readonly owner: string | null;
  readonly receivedAt: Date;
  readonly operationId: string | null;
}

const toDocument = ({ documentNumber, documentDate }: MaterialLotFacts): { document?: DocumentReference } =>
  documentNumber === null || documentDate === null
    ? {}
    : { document: { number: documentNumber, date: dayOf(documentDate) } };

export const toMaterialLot = (row: MaterialLotFacts): MaterialLot => ({
  id: row.id,
  materialId: row.materialId,
  premisesId: row.premisesId,
  code: row.code,
  ...(row.supplier === null ? {} : { supplier: row.supplier }),
  ...(row.supplierLot === null ? {} : { supplierLot: row.supplierLot }),
  ...toDocument(row),
  quantity: { value: row.quantity, unit: row.unit },
  ...(row.strengthPercent === null ? {} : { strength: { value: row.strengthPercent, unit: '%' } }),
  onHand: { value: row.onHand, unit: row.unit },
  ...(row.dutyStatus === null ? {} : { dutyStatus: row.dutyStatus }),
  ...(row.owner === null ? {} : { owner: row.owner }),
  receivedAt: row.receivedAt.toISOString(),
  ...(row.operationId === null ? {} : { operationId: row.operationId }),
});
