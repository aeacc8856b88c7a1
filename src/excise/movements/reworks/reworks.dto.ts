import { Optional } from '../../../platform/validation/field.js';
import { IsId, IsListOf, IsPlainText, IsQuantityOf, IsWholeNumber } from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { MOST_SERIALS } from '../../../production/operations/containers/container-events.js';
import { EventAnswer, EventBody } from '../../../production/shared/event.dto.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';

export class NewRework extends EventBody {
  @IsId()
  packagedLotId: string;

  @Optional()
  @IsWholeNumber({ min: 1, max: 10_000_000 }, { description: 'Full containers that were opened.', example: 24 })
  count?: number;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 999_999_999, maxDecimals: 6 },
    { description: 'Instead of `count`, of containers that were part full: as measured, at 20 °C.' },
  )
  volume?: WireQuantity;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description:
        'Which containers, where they were filled with serials: one for each, or the one that `volume` was measured in.',
    },
  )
  serials?: string[];

  @Optional()
  @IsId({ description: 'Where the goods stand; the premises where they were packed if left out.' })
  premisesId?: string;

  @IsId({ description: 'The lot that their contents belong to from now on.' })
  lotId: string;

  @IsId({ description: 'The empty vessel that they went into.' })
  vesselId: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 1_000_000, maxDecimals: 6 },
    { description: 'Lost in opening, at 20 °C.', example: { value: 0.5, unit: 'L' } },
  )
  loss?: WireQuantity;
}

export class ReworkAnswer extends EventAnswer {
  @IsId()
  findingId: string;

  @IsQuantityOf('fraction', {}, { description: 'By the books.' })
  strength: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty: WireQuantity;

  @IsQuantityOf('volume', {}, { description: 'What was lost.' })
  loss: WireQuantity;

  @IsPlainText({ max: 120 })
  category: string;
}
