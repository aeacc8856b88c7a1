import type { Quantity } from '../../metrology/units.js';
import { Optional } from '../../platform/validation/field.js';
import { IsListOf, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { oneOfRule } from '../../platform/validation/text-rules.js';
import { LOSS_REASONS } from '../reasons/reason-codes.js';

/** Lines of the report that a producer's rules may make chargeable. */
export const CHARGEABLE_LINES = [
  'stock-difference',
  'yeast-and-trub',
  'evaporation',
  'process-loss',
  'packaging-loss',
  'accidental-loss',
  'theft',
  'transit-loss',
  'destroyed',
] as const;
export type ChargeableLine = (typeof CHARGEABLE_LINES)[number];

/** A loss that the producer's rules make chargeable beyond what they allow. */
export class ChargeableLoss {
  @IsOneOf(CHARGEABLE_LINES, {
    description: '`stock-difference`: what stock-takes find missing; surpluses never count against it.',
  })
  line: ChargeableLine;

  @Optional()
  @IsListOf(
    oneOfRule(LOSS_REASONS),
    { max: LOSS_REASONS.length, unique: true },
    {
      description:
        'Reasons that free a loss from duty. Without one of them it is chargeable, also with `other` and a text, unless `other` is named here. No reason frees it if left out.',
      example: ['breakage', 'spill'],
    },
  )
  freeReasons?: string[];

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 4 },
    {
      description:
        'Part of the losses that is free of duty, in per cent of the opening stock of the category and of all that was added to it. No part is free if it is left out.',
      example: { value: 0.5, unit: '%' },
    },
  )
  allowance?: Quantity;
}
