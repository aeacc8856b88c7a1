import { canonicalText, decimalOf, Exact } from '../../metrology/decimals.js';
import type { DutyLine } from '../duty/rules/line.js';
import { lineDuty } from '../duty/rules/line.js';
import type { NamedRuleSet } from '../duty/rules/rule-set.js';
import type { PackedStrength } from '../../production/measuring/packed/packed-strength.js';

/** Rules and strengths from which the strength for duty of a movement follows. */
export interface DutyBasisRead {
  readonly ruleSets: readonly NamedRuleSet[];
  /** Strength of record of the goods; none where no finding of record stands. */
  readonly measured: PackedStrength | undefined;
}

/** Strength for duty by the rule set in force, as the document of a movement keeps it. */
export interface DutyStrength {
  readonly strengthFrom: 'declared' | 'measured';
  /** % vol, the steps of the rule set taken; a decimal as text. */
  readonly strengthForDuty: string;
  readonly ruleSet: { readonly id: string; readonly version: string };
}

/** Duty of a movement as its document keeps it; decimals as texts. */
export interface MovementDutyFacts extends DutyStrength {
  readonly dutyDate: string;
  readonly declaredStrength: string;
}

/** Goods on which duty falls due: the parts of a duty line that the strength depends on. */
export type DutiableGoods = Pick<DutyLine, 'category' | 'dutyDate' | 'litres' | 'declaredPercent'>;

/** The strength for duty that the report will take too, unless the strength of record or the rules change before the period is closed. */
export function dutyStrengthOf({ ruleSets, measured }: DutyBasisRead, goods: DutiableGoods): DutyStrength {
  const duty = lineDuty(ruleSets, {
    id: '',
    ...goods,
    ...(measured === undefined
      ? {}
      : {
          measured: {
            percent: decimalOf(measured.strengthPercent),
            expandedUncertainty: decimalOf(measured.expandedUncertainty),
          },
        }),
  });
  const { id, version } = duty.set;
  return {
    strengthFrom: duty.strengthFrom,
    strengthForDuty: canonicalText(new Exact(duty.strengthPercent)),
    ruleSet: { id, version },
  };
}
