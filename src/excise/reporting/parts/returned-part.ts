import { canonicalText, Exact } from '../../../metrology/decimals.js';
import { localDay } from '../../../production/shared/local-day.js';
import type { MovementRow } from '../../movements/movement.reader.js';
import type { ReturnTreatment } from '../../duty/rules/rule-set.js';
import type { ReturnedDuty, ReturnedGoods } from '../documents/returned-duty.dto.js';
import type { ReportInput } from '../sources/report-input.js';
import { moneyPart } from './duty-wire.js';
import { oneOperation } from './links.js';
import { releasesPart } from './releases-part.js';

interface ReturnedRelease {
  readonly returned: MovementRow;
  readonly release: MovementRow;
  /** The release, as far as it came back. */
  readonly back: MovementRow;
}

/** Returns under suspension, each with the releases on which duty was charged. What came back with its duty paid keeps it. */
function returnedReleases({ returns, returnedReleases: rows }: ReportInput): ReturnedRelease[] {
  const byId = new Map(rows.map((row) => [row.id, row]));
  return returns
    .filter(
      ({ reversed, earlierPeriodId, dutyStatus }) => !reversed && earlierPeriodId === null && dutyStatus !== 'paid',
    )
    .flatMap((returned) =>
      (returned.returnedFrom?.releases ?? []).flatMap(({ operationId, litres }) => {
        const release = byId.get(operationId);
        if (release === undefined || release.dutyDate === null) return [];
        const share = new Exact(litres).dividedBy(release.litres);
        const back = {
          ...release,
          id: `${returned.id}/${release.id}`,
          litres,
          bookLpa: canonicalText(share.times(release.bookLpa)),
          count: null,
        };
        return [{ returned, release, back }];
      }),
    );
}

/** Duty on goods returned: by the rules and at the rate of the day on which it was charged. */
export function returnedPart(input: ReportInput, treatment: ReturnTreatment): ReturnedDuty {
  const pairs = returnedReleases(input);
  const { releases, groups, calculation } = releasesPart(
    input,
    pairs.map(({ back }) => back),
  );
  const goods = pairs.map(({ returned, release }, index): ReturnedGoods => {
    const { lotMark, dutyDate, litres, litresOfPureAlcoholForDuty, rate } = releases[index];
    return {
      operationId: returned.id,
      day: localDay(returned.occurredAt, input.period.timeZone),
      lotMark,
      releaseId: release.id,
      dutyDate,
      matchedBy: returned.returnedFrom?.by ?? 'oldest-first',
      litres,
      litresOfPureAlcoholForDuty,
      ...(rate === undefined ? {} : { rate }),
      operations: oneOperation(returned.id),
    };
  });
  return {
    treatment,
    goods,
    groups: groups.map(({ category, band, litres, litresOfPureAlcoholForDuty, quantity, rate, money }) => ({
      category,
      ...(band === undefined ? {} : { band }),
      unit: quantity.unit,
      litres,
      litresOfPureAlcoholForDuty,
      quantity: quantity.result,
      ...(rate === undefined ? {} : { rate }),
      ...(money === undefined ? {} : { money }),
    })),
    money: calculation.money.map(({ currency, amount }) => moneyPart(currency, amount)),
  };
}
