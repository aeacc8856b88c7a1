import type { Gravity } from '../../alcoholometry/liquids/gravity-scales.js';
import { decimalsFindings } from '../../platform/validation/number-rules.js';
import { gravityRule } from '../../platform/validation/quantity-rules.js';
import type { Rule } from '../../platform/validation/rule.js';
import { within } from '../../platform/validation/rule.js';

const MOST_DECIMALS = 6;
const plain = gravityRule();

/** A gravity that can be kept as it was given: no more decimals than the books hold. */
export const exactGravityRule: Rule = {
  schema: plain.schema,
  check: (value) => {
    const findings = plain.check(value);
    return findings.length > 0 ? findings : within('value', decimalsFindings((value as Gravity).value, MOST_DECIMALS));
  },
};
