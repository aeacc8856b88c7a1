import { MAXIMUM_FILLS } from '../../../metrology/fill-check.js';
import { Field, Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import { quantityListRule } from '../../../platform/validation/quantity-rules.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { DayQuery } from '../../../platform/pagination.js';
import { DrawBody, EventAnswer } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { Flag } from '../../shared/flag.dto.js';
import { LabelCheck } from '../../shared/labels/label-check.dto.js';
import { MOST_SERIALS } from '../containers/container-events.js';
import { ConditioningAnswer, PackageConditioning } from './conditioning.dto.js';
import type { Fills } from './fills.js';
import { FillCheck } from './fills.js';
import type { PackagedLotRow } from '../../measuring/packed/packaged-lot.reader.js';
import { labelDoubt } from '../../measuring/packed/label-doubt.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import type { PackedStrength } from '../../measuring/packed/packed-strength.js';

export const CONTAINERS = ['bottle', 'can', 'keg', 'cask', 'bag-in-box', 'other'] as const;
const PACKAGED_STATES = ['in-stock', 'out'] as const;
export const DISPENSE = ['none', 'draught-connector', 'gravity-tap'] as const;

export class NewPackaging extends DrawBody {
  @IsId()
  vesselId: string;

  @IsOneOf(CONTAINERS, { example: 'bottle' })
  container: (typeof CONTAINERS)[number];

  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 10_000, maxDecimals: 6 },
    {
      description: 'On the label of one container.',
      example: { value: 330, unit: 'mL' },
    },
  )
  nominalVolume: WireQuantity;

  @IsWholeNumber({ min: 1, max: 10_000_000 }, { description: 'Full containers.', example: 580 })
  count: number;

  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 3 },
    {
      description: 'What the label or the papers say.',
      example: { value: 5, unit: '%' },
    },
  )
  declaredStrength: WireQuantity;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Lot mark on the containers; the lot code if left out.' })
  lotMark?: string;

  @Optional()
  @IsOneOf(DISPENSE, { description: 'How a large container is dispensed; some laws ask.' })
  dispense?: (typeof DISPENSE)[number];

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    { description: 'A serial for each container, where they are followed one by one.', example: ['K-017', 'K-018'] },
  )
  serials?: string[];

  @Optional()
  @IsDateOnly({ description: 'The local date of occurredAt if left out.' })
  packagedOn?: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 10_000, maxDecimals: 6 },
    {
      description: 'Mean fill of the run, where it was checked; the nominal volume if left out.',
    },
  )
  meanFill?: WireQuantity;

  @Optional()
  @Field(quantityListRule('volume', { min: 2, max: MAXIMUM_FILLS }), {
    description:
      'Volumes at 20 °C of a sample of the run, instead of their mean: they are checked against the nominal volume, and the check is kept.',
    example: { values: [331.2, 329.8, 330.4], unit: 'mL' },
  })
  fills?: Fills;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 1_000_000, maxDecimals: 6 },
    {
      description: 'Lost in the run, at 20 °C. The rest stays in the vessel, unless `emptied` is true.',
    },
  )
  loss?: WireQuantity;

  @Optional()
  @IsFlag({
    description:
      'True if the run emptied the vessel: all that did not go into containers is its loss. Left out, the rest stays in the vessel.',
  })
  emptied?: boolean;

  @Optional()
  @IsPlainText(
    { max: 60 },
    {
      description:
        'Why more was packed than the books had, beyond the uncertainty of the gauge; or why more was lost than that uncertainty and the producer’s `usualPackagingLoss`.',
      example: 'recounted',
    },
  )
  reasonCode?: string;

  @Optional()
  @Nested(() => PackageConditioning, {
    description:
      'Sugar that ferments in the closed containers: its alcohol comes from fermentation into the packaged lot. Sugar in excess bursts containers.',
  })
  conditioning?: PackageConditioning;
}

export class PackagingAnswer extends EventAnswer {
  @IsId()
  packagedLotId: string;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsWholeNumber({ min: 1, max: 10_000_000 })
  count: number;

  @IsQuantityOf('volume', {}, { description: 'Lost in the run.' })
  loss: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'Mean fill minus nominal, over the run; signed.' })
  fillDifference: WireQuantity;

  @IsQuantityOf(
    'volume',
    {},
    { description: 'Full containers beyond what the books had; zero but for a flagged gain.' },
  )
  gain: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'In the vessel after the run, by the books.' })
  rest: WireQuantity;

  @IsQuantityOf(
    'fraction',
    {},
    { description: 'Strength of record of what the containers hold, conditioning included.' },
  )
  strength: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty: WireQuantity;

  @NestedList(
    () => Flag,
    { max: 10 },
    {
      description:
        '`more-than-gauged`, `unusual-loss`, `rest-below-uncertainty` (with the way to clear it), `label-in-doubt`, `fills-short`.',
    },
  )
  flags: Flag[];

  @Nested(() => LabelCheck)
  labelCheck: LabelCheck;

  @Optional()
  @Nested(() => FillCheck)
  fillCheck?: FillCheck;

  @Optional()
  @Nested(() => ConditioningAnswer)
  conditioning?: ConditioningAnswer;
}

export class PackagedLotQuery extends DayQuery {
  @Optional()
  @IsId({ description: 'Only those packed at these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those packed from this lot.' })
  lotId?: string;

  @Optional()
  @IsPlainText(
    { max: 60 },
    { description: 'Only those with this lot mark, in capital or small letters.', example: 'L-260301' },
  )
  lotMark?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Only those of this category.', example: 'cider' })
  category?: string;

  @Optional()
  @IsOneOf(CONTAINERS, { description: 'Only those in this kind of container.' })
  container?: (typeof CONTAINERS)[number];

  @Optional()
  @IsOneOf(PACKAGED_STATES, {
    description: '`in-stock`: some of it is in stock, at any of the premises. `out`: nothing is any more.',
  })
  state?: (typeof PACKAGED_STATES)[number];
}

export class PackagedLot {
  @IsId()
  id: string;

  @IsId()
  lotId: string;

  @IsPlainText({ max: 60 })
  lotCode: string;

  @IsId()
  compositionId: string;

  @IsId()
  premisesId: string;

  @IsPlainText({ max: 60 })
  category: string;

  @IsOneOf(CONTAINERS)
  container: string;

  @IsQuantityOf('volume')
  nominalVolume: WireQuantity;

  @IsWholeNumber({ min: 1, max: 10_000_000 }, { description: 'Filled in the run.' })
  count: number;

  @IsDecimalNumber({}, { description: 'Containers in stock now.' })
  onHand: number;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsQuantityOf('fraction')
  declaredStrength: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    {},
    { description: 'Strength of record now of what the containers hold, conditioning included.' },
  )
  strength?: WireQuantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty?: WireQuantity;

  @Optional()
  @IsOneOf(DISPENSE)
  dispense?: string;

  @IsDateOnly()
  packagedOn: string;

  @IsId()
  operationId: string;

  @NestedList(
    () => Flag,
    { max: 5 },
    {
      description: 'label-does-not-hold or label-in-doubt, by the strength of record now.',
    },
  )
  flags: Flag[];
}

export class PackagedLotPage extends ListOf(PackagedLot) {}

/** The strength of packed goods as answers carry it; nothing where none is of record. */
export const packedStrengthOf = (
  strength: PackedStrength | undefined,
): { strength?: WireQuantity; expandedUncertainty?: WireQuantity } =>
  strength === undefined
    ? {}
    : {
        strength: { value: strength.strengthPercent, unit: '%' },
        expandedUncertainty: { value: strength.expandedUncertainty, unit: '%' },
      };

export const toPackagedLot = (
  row: PackagedLotRow,
  litresOnHand: number,
  strength: PackedStrength | undefined,
  settings: ProducerSettings,
): PackagedLot => ({
  id: row.id,
  lotId: row.lotId,
  lotCode: row.lotCode,
  compositionId: row.compositionId,
  premisesId: row.premisesId,
  category: row.category,
  container: row.container,
  nominalVolume: { value: Number(row.nominalLitres), unit: 'L' },
  count: row.count,
  onHand: Math.round((litresOnHand / Number(row.nominalLitres)) * 1e6) / 1e6,
  lotMark: row.lotMark,
  declaredStrength: { value: Number(row.declaredStrengthPercent), unit: '%' },
  ...packedStrengthOf(strength),
  ...(row.dispense === null ? {} : { dispense: row.dispense }),
  packagedOn: row.packagedOn,
  operationId: row.operationId,
  flags: labelFlags(row, strength, settings),
});

function labelFlags(row: PackagedLotRow, strength: PackedStrength | undefined, settings: ProducerSettings): Flag[] {
  const doubt = strength && labelDoubt(strength, Number(row.declaredStrengthPercent), settings);
  return doubt === undefined ? [] : [{ code: doubt.code, detail: doubt.detail }];
}
