import { canonicalText, Exact, sumOf } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Deficiency } from '../documents/deficiency.dto.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { Money } from '../documents/duty-values.dto.js';
import type { MoneySummary } from '../documents/money-summary.dto.js';

/** Indicated duty by currency: releases, deficiency and changes of earlier periods, less what is set off for goods returned. */
export function moneySummary(duty: ReportDuty, deficiency: Deficiency): MoneySummary[] {
  const { earlierPeriods, returned } = duty;
  const changes = earlierPeriods.flatMap(({ money }) => money);
  const currencies = new Set(
    [duty.money, deficiency.money, changes, returned.money].flat().map(({ currency }) => currency),
  );
  return [...currencies].sort().map((currency) => {
    const sum = (money: readonly Money[]): Decimal =>
      sumOf(money.filter((each) => each.currency === currency).map(({ amount }) => new Exact(amount)));
    const isClaim = returned.treatment === 'claim';
    const back = sum(returned.money);
    const parts = {
      releases: sum(duty.money),
      deficiency: sum(deficiency.money),
      earlierPeriods: sum(changes),
      returns: isClaim ? new Exact(0) : back.negated(),
    };
    return {
      currency,
      releases: canonicalText(parts.releases),
      deficiency: canonicalText(parts.deficiency),
      earlierPeriods: canonicalText(parts.earlierPeriods),
      returns: canonicalText(parts.returns),
      total: canonicalText(sumOf(Object.values(parts))),
      claims: canonicalText(isClaim ? back : new Exact(0)),
    };
  });
}
