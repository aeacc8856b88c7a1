import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../ledger/books/litres.dto.js';
import { ListOf } from '../../platform/openapi/list-of.js';
import { DayQuery } from '../../platform/pagination.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import {
  IsDateOnly,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../platform/validation/fields.js';
import { textRule } from '../../platform/validation/text-rules.js';
import { MOST_SERIALS } from '../../production/operations/containers/container-events.js';
import { IsLossReason } from '../../tenancy/reasons/reason-codes.dto.js';
import { DrawBody } from '../../production/shared/event.dto.js';
import type { WireQuantity } from '../../production/shared/event.dto.js';
import { Flag } from '../../production/shared/flag.dto.js';
import type { MovementKind } from './movement-kinds.js';
import { DutyPaidBy, MovementDuty, ReturnedFrom } from './movement-duty.dto.js';
import { ProofDiscrepancy } from './proof-discrepancy.js';
import { MOVEMENT_KINDS } from './movement-kinds.js';

const DUTY_STATUSES = ['suspended', 'paid'] as const;
const MOST_CONTAINERS = 100_000_000;

/** Evidence of a movement: document numbers and words about goods, never about people. */
export class Evidence {
  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the document that goes with the goods.', example: 'DOC-0001' })
  document?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the proof of arrival or export.' })
  proof?: string;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'How it was destroyed.', example: 'poured off, supervised' })
  method?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of an approval.' })
  approval?: string;

  @Optional()
  @IsPlainText(
    { max: 120 },
    {
      description: 'Number under which it was reported to the police or the authority; needed of a theft.',
      example: 'REPORT-0001',
    },
  )
  report?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the claim for the duty that was paid on it.' })
  claim?: string;
}

export class NewMovement extends DrawBody {
  @IsOneOf(MOVEMENT_KINDS, {
    description:
      'What happened. Release and own use are points at which duty falls due and take what is packed, or what a serving tank gave, with its declared strength: a daily total does. Yeast and trub, evaporation and filtering losses are of bulk. A return comes back into the packaged lot that it left. What each kind needs besides is in the errors.',
    example: 'release',
  })
  kind: MovementKind;

  @Optional()
  @IsId({ description: 'What was packed; with `count`, or with `volume` for containers that are part full.' })
  packagedLotId?: string;

  @Optional()
  @IsWholeNumber({ min: 1, max: MOST_CONTAINERS }, { description: 'Containers.', example: 24 })
  count?: number;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description:
        'Which containers, where they were filled with serials: one for each of `count`, which may be left out then, or the one that `volume` was measured in.',
      example: ['K-017'],
    },
  )
  serials?: string[];

  @Optional()
  @IsId({ description: 'In bulk: the lot; with `vesselId` and `volume`.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'In bulk: the vessel that it came from.' })
  vesselId?: string;

  @Optional()
  @IsId({
    description:
      'Spirit, a flavouring or a yeast crop that bears alcohol; with `volume`. Takes samples, process, accidental and transit losses, evaporation, theft, destruction, dispatch under suspension (also back to who supplied it) and export; where its duty was paid, release in place of dispatch under suspension.',
  })
  materialLotId?: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 999_999_999, maxDecimals: 6 },
    {
      description: 'In bulk, of a material lot, or of containers that are part full: as measured, at 20 °C.',
      example: { value: 0.5, unit: 'L' },
    },
  )
  volume?: WireQuantity;

  @Optional()
  @IsId({ description: 'Where the packed goods stand; the premises where they were packed if left out.' })
  premisesId?: string;

  @Optional()
  @IsOneOf(DUTY_STATUSES, {
    description:
      'Of packed goods: duty suspended, or paid and kept apart since they came back so. Left out, it follows the goods: paid where all that is in stock there is, or where all that comes back had gone out so; else suspended.',
  })
  dutyStatus?: (typeof DUTY_STATUSES)[number];

  @Optional()
  @IsId({
    description:
      'Of a return: the movement by which the goods went out. If left out, the movements of the packaged lot are taken, oldest first.',
  })
  returnOf?: string;

  @Optional()
  @IsId({
    description:
      'Of a transit loss: the dispatch under suspension or the export whose goods did not arrive. They are taken off its line of the report and stand as lost, with the cause. Give `count` or `volume`; the goods are those of that movement.',
  })
  lostFrom?: string;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 3 },
    { description: 'Of what a serving tank gave: what is declared for it.', example: { value: 5, unit: '%' } },
  )
  declaredStrength?: WireQuantity;

  @Optional()
  @IsDateOnly({
    description:
      'Day on which duty falls due, in the period of the event; the local day of the event if left out. Only where duty falls due.',
  })
  dutyDate?: string;

  @Optional()
  @IsPlainText(
    { max: 200 },
    {
      description:
        'Who receives it, or who sent it back. Kept outside the audit trail, which holds a salted hash of it.',
    },
  )
  counterparty?: string;

  @Optional()
  @IsPlainText(
    { max: 200 },
    {
      description:
        'Who saw it: needed of a destruction without an approval, possible of a breakage, a leak, a spill, a theft and what was lost on the way. Kept outside the audit trail, which holds a salted hash of it.',
    },
  )
  witness?: string;

  @Optional()
  @Nested(() => Evidence)
  evidence?: Evidence;

  @Optional()
  @IsLossReason({ description: 'Why.', example: 'breakage' })
  reasonCode?: string;

  @Optional()
  @IsId({ description: 'Of a loss: the person who looked into it.' })
  investigatedBy?: string;
}

export class MovementQuery extends DayQuery {
  @Optional()
  @IsOneOf(MOVEMENT_KINDS, { description: 'Only those of this kind.' })
  kind?: string;

  @Optional()
  @IsId({ description: 'Only those at these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those of this lot, packed or in bulk.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'Only those of this packaged lot.' })
  packagedLotId?: string;

  @Optional()
  @IsId({ description: 'Only those of this material lot.' })
  materialLotId?: string;

  @Optional()
  @IsId({ description: 'Only those of bulk out of this vessel.' })
  vesselId?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Only those of this category.', example: 'cider' })
  category?: string;

  @Optional()
  @IsId({ description: 'Only those that occurred in this period.' })
  periodId?: string;
}

export class Movement {
  @IsId({ description: 'The operation that posted it.' })
  id: string;

  @IsOneOf(MOVEMENT_KINDS)
  kind: string;

  @IsId()
  premisesId: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsInstant({ description: 'When it was entered; not in the answer to the entry itself.' })
  recordedAt?: string;

  @Optional()
  @IsId({ description: 'Of packed goods and of bulk.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'Of packed goods and of bulk.' })
  compositionId?: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @Optional()
  @IsId({ description: 'Instead of lot and composition, where it was a material lot.' })
  materialLotId?: string;

  @Optional()
  @IsWholeNumber({ min: 1, max: MOST_CONTAINERS })
  count?: number;

  @Optional()
  @IsListOf(textRule({ max: 60 }), { max: MOST_SERIALS })
  serials?: string[];

  @Optional()
  @IsId()
  vesselId?: string;

  @ApiProperty({ type: Litres, description: 'What left or came back; count times nominal volume for full containers.' })
  litres: Litres;

  @ApiProperty({ type: Litres, description: 'What went with it, as the books hold it.' })
  litresOfPureAlcohol: Litres;

  @ApiPropertyOptional({ type: MovementDuty, description: 'Only where duty falls due.' })
  duty?: MovementDuty;

  @ApiPropertyOptional({ type: ReturnedFrom, description: 'Only of a return of packed goods.' })
  returnedFrom?: ReturnedFrom;

  @Optional()
  @IsId({ description: 'Of a transit loss: the movement by which the goods were sent.' })
  lostFrom?: string;

  @ApiPropertyOptional({
    type: ProofDiscrepancy,
    description: 'Where its proof states another quantity than was sent; not in the answer to the entry itself.',
  })
  proofDiscrepancy?: ProofDiscrepancy;

  @ApiPropertyOptional({
    type: [DutyPaidBy],
    description:
      'Of a destruction of goods on which duty was paid: the releases by which it fell due, through the return of the same containers. Only where one movement is read.',
  })
  dutyPaidBy?: DutyPaidBy[];

  @Optional()
  @NestedList(() => Flag, { max: 10 }, { description: 'Doubts about the entry.' })
  flags?: Flag[];

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Not in the answer to the entry itself, and absent once it was erased.' })
  counterparty?: string;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Not in the answer to the entry itself.' })
  witness?: string;

  @Optional()
  @IsOneOf(['paid'], { description: 'Only where duty had been paid on the goods.' })
  dutyStatus?: string;

  @Optional()
  @IsId({ description: 'The gauge or stock-take that it explains.' })
  explains?: string;

  @ApiProperty({ type: Evidence })
  evidence: Evidence;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @Optional()
  @IsId({ description: 'Who looked into it.' })
  investigatedBy?: string;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true }, { description: 'Not in the answer to the entry itself.' })
  note?: string;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsId({ description: 'The closed period whose mistake it puts right; not in the answer to the entry itself.' })
  earlierPeriodId?: string;

  @Optional()
  @IsFlag({ description: 'It was reversed: it counts no more.' })
  reversed?: boolean;
}

export class MovementPage extends ListOf(Movement) {}
