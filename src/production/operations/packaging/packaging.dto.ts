import { MAXIMUM_FILLS } from '../../../metrology/fill-check.js';
import { Field, Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import { quantityListRule } from '../../../platform/validation/quantity-rules.js';
import {
  IsDateOnly,
  IsFlag,
  IsId,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { IsLossReason } from '../../../tenancy/reasons/reason-codes.dto.js';
import { DrawBody, EventAnswer } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { Flag } from '../../shared/flag.dto.js';
import { LabelCheck } from '../../shared/labels/label-check.dto.js';
import { MOST_SERIALS } from '../containers/container-events.js';
import { ConditioningAnswer, PackageConditioning } from './conditioning.dto.js';
import { ContainerDose, DosedMaterial, MOST_DOSES } from './doses.dto.js';
import type { Fills } from './fills.js';
import { FillCheck } from './fills.js';

export const CONTAINERS = ['bottle', 'can', 'keg', 'cask', 'bag-in-box', 'other'] as const;
export const PACKAGED_STATES = ['in-stock', 'out'] as const;
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
  @IsLossReason({
    description:
      'Why more was packed than the books had, beyond the uncertainty of the gauge; or why more was lost than that uncertainty and the producer’s `usualPackagingLoss`.',
    example: 'counting-error',
  })
  reasonCode?: string;

  @Optional()
  @Nested(() => PackageConditioning, {
    description:
      'Sugar that ferments in the closed containers: its alcohol comes from fermentation into the packaged lot. Sugar in excess bursts containers.',
  })
  conditioning?: PackageConditioning;

  @Optional()
  @NestedList(
    () => ContainerDose,
    { min: 1, max: MOST_DOSES },
    {
      description:
        'Flavour, colour or acid dosed into each container after it was filled. `meanFill` is what was filled before; with its dose a container holds its nominal volume, and what it holds beyond that is the fill difference. Alcohol of a dose goes into the packaged lot.',
      example: [{ materialLotId: '0197a5b0-0000-7000-8000-000000000001', perContainer: { value: 2, unit: 'mL' } }],
    },
  )
  doses?: ContainerDose[];
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

  @Optional()
  @NestedList(
    () => DosedMaterial,
    { max: MOST_DOSES },
    { description: 'Dosed into each container after it was filled.' },
  )
  doses?: DosedMaterial[];
}
