import type { Quantity } from '../../metrology/units.js';
import { numberRule } from '../../platform/validation/number-rules.js';
import type { Rule } from '../../platform/validation/rule.js';
import { finding, objectRule, within } from '../../platform/validation/rule.js';

const GRAMS_PER_LITRE = 'g/L';

const unitRule: Rule = {
  schema: { type: 'string', enum: [GRAMS_PER_LITRE] },
  check: (unit) =>
    unit === GRAMS_PER_LITRE
      ? []
      : [
          finding('unknown-unit', `The unit has to be ${GRAMS_PER_LITRE}.`, {
            code: 'unit-unknown',
            allowed: [GRAMS_PER_LITRE],
          }),
        ],
};

const shape = objectRule({ value: numberRule(), unit: unitRule });

/** A mass concentration from 0 to `max` g/L with at most six decimals; g/L has no property of its own among the units. */
export const massConcentrationRule = (max: number): Rule => ({
  schema: shape.schema,
  check: (value) => {
    const findings = shape.check(value);
    return findings.length > 0
      ? findings
      : within(
          'value',
          numberRule({ min: 0, max, unit: GRAMS_PER_LITRE, maxDecimals: 6 }).check((value as Quantity).value),
        );
  },
});
