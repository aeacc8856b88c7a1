import { Nested, Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsId,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { EventAnswer, EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { LabelCheck } from '../../shared/labels/label-check.dto.js';
import { MOST_SERIALS } from '../containers/container-events.js';
import { CONTAINERS, DISPENSE } from '../packaging/packaging.dto.js';

const COUNT = { min: 1, max: 10_000_000 };

export class RepackedInto {
  @IsOneOf(CONTAINERS, { example: 'bottle' })
  container: (typeof CONTAINERS)[number];

  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 10_000, maxDecimals: 6 },
    { description: 'On the label of one container.', example: { value: 330, unit: 'mL' } },
  )
  nominalVolume: WireQuantity;

  @IsWholeNumber(COUNT, { description: 'Full containers.', example: 90 })
  count: number;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'The lot mark of what was opened, if left out.' })
  lotMark?: string;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description: 'A serial for each new container, where they are followed one by one.',
      example: ['K-017', 'K-018'],
    },
  )
  serials?: string[];

  @Optional()
  @IsOneOf(DISPENSE)
  dispense?: (typeof DISPENSE)[number];

  @Optional()
  @IsDateOnly({ description: 'The local date of occurredAt if left out.' })
  packagedOn?: string;
}

export class NewRepacking extends EventBody {
  @IsWholeNumber(COUNT, { description: 'Containers that are opened.', example: 1 })
  count: number;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description: 'Which containers are opened, where they were filled with serials: one for each.',
      example: ['K-017', 'K-018'],
    },
  )
  serials?: string[];

  @Nested(() => RepackedInto)
  into: RepackedInto;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 1_000_000, maxDecimals: 6 },
    { description: 'Lost on the way, at 20 °C: it has to make up the rest; the rest is lost if left out.' },
  )
  loss?: WireQuantity;
}

export class NewRelabelling extends EventBody {
  @IsWholeNumber(COUNT, { description: 'Containers that get the new label.', example: 120 })
  count: number;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description: 'Which containers, where they were filled with serials: one for each.',
      example: ['K-017', 'K-018'],
    },
  )
  serials?: string[];

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 3 },
    { description: 'What the new label says; one of these three has to change.', example: { value: 4.5, unit: '%' } },
  )
  declaredStrength?: WireQuantity;

  @Optional()
  @IsPlainText({ max: 60 })
  lotMark?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Another category: the goods move between the two in the report.' })
  category?: string;
}

export class RepackedAnswer extends EventAnswer {
  @IsId({ description: 'The packaged lot that came of it.' })
  packagedLotId: string;

  @IsId({ description: 'The packaged lot that it was taken from.' })
  fromPackagedLotId: string;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsPlainText({ max: 60 })
  category: string;

  @IsWholeNumber(COUNT)
  count: number;

  @IsQuantityOf('volume', {}, { description: 'Lost on the way.' })
  loss: WireQuantity;

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

  @IsListOf(textRule({ max: 60 }), { max: 10 }, { description: 'label-does-not-hold or label-in-doubt' })
  flags: string[];

  @Nested(() => LabelCheck)
  labelCheck: LabelCheck;
}
