import type { Quantity } from '../../metrology/units.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsFlag, IsQuantityOf, IsWholeNumber } from '../../platform/validation/fields.js';
import { CHARGEABLE_LINES, ChargeableLoss } from './chargeable-loss.dto.js';
import { LabelSettings } from './label-settings.dto.js';
import { LossSumLimits } from './loss-sum-limits.dto.js';

/** Settings of a producer about losses, differences and late entries. */
export class LossSettings extends LabelSettings {
  @Optional()
  @IsWholeNumber(
    { min: 1, max: 365 },
    { description: 'Days after an event from which its entry counts as late; 1 if left out.', example: 1 },
  )
  lateAfterDays?: number;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: 90 },
    {
      description:
        'In place of `lateAfterDays`: working days after the local day of an event within which its entry is in time, by Monday to Friday and the holidays of `filingCalendar`. 27 CFR 25.291(b): 1, or 3 where papers were made at the time.',
      example: 1,
    },
  )
  lateAfterWorkingDays?: number;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 3 },
    {
      description:
        'Difference of a gauge from the books, % of the book figure, up to which it needs no reason; 5 % if left out.',
      example: { value: 5, unit: '%' },
    },
  )
  usualGaugeDifference?: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 3 },
    {
      description:
        'Loss of a packaging run, % of what was drawn for it, up to which it needs no reason; 3 % if left out.',
      example: { value: 3, unit: '%' },
    },
  )
  usualPackagingLoss?: Quantity;

  @Optional()
  @NestedList(
    () => ChargeableLoss,
    { max: CHARGEABLE_LINES.length },
    {
      description:
        'Which losses the producer’s rules make chargeable beyond an allowance, each line once; shortages of stock-takes without a reason, or with `other`, if left out.',
    },
  )
  chargeableLosses?: ChargeableLoss[];

  @Optional()
  @IsFlag({
    description:
      'True if the producer’s rules let a shortage of a stock-take be set off against a surplus that is shown to be related, each pair with its written reason; false if left out.',
  })
  allowStockOffsets?: boolean;

  @Optional()
  @Nested(() => LossSumLimits, {
    description: 'Running sum of losses over periods; k = 0.5 and h = 5 without ordinary losses if left out.',
  })
  lossesOverPeriods?: LossSumLimits;
}
