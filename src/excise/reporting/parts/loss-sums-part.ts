import { toLitres } from '../../../ledger/books/litres.dto.js';
import { averageRunLength, tabularCusum } from '../../../metrology/cusum.js';
import type { CusumPoint } from '../../../metrology/cusum.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { COVERAGE_95 } from '../../../metrology/student.js';
import type { LossSumLimits } from '../../../tenancy/producers/loss-sum-limits.dto.js';
import { DEFAULT_SETTINGS } from '../../../tenancy/producers/producers.dto.js';
import { judged } from '../../movements/judgement.js';
import type { LossesOverPeriods, LossPoint, LossSeries, UnaccountedLoss } from '../documents/loss-sums.dto.js';
import type { ReportInput } from '../sources/report-input.js';
import { allowanceBaseOf } from './losses-chargeable.js';

const MOST_POINTS = 24;
/** Leak whose time to be found is told, in standard uncertainties a period. */
const LEAK = 1.5;
const rounded = (value: number, places: number): number => Number(value.toFixed(places));

/** Litres beyond the ordinary that were entered as lost; nothing where the setting names no ordinary share. */
function beyondOrdinary(input: ReportInput, category: string, lost: Decimal, { ordinaryLoss }: LossSumLimits): Decimal {
  if (ordinaryLoss === undefined) {
    return new Exact(0);
  }
  const ordinary = allowanceBaseOf(input, category).times(ordinaryLoss.value).dividedBy(100);
  return toPlaces6HalfEven(lost.minus(ordinary));
}

function unaccountedOf(input: ReportInput, limits: LossSumLimits): UnaccountedLoss[] {
  return input.unaccounted.flatMap((row) => {
    const lost = new Exact(row.ordinaryLitres).negated();
    const missing = new Exact(row.measuredLitres).negated().plus(beyondOrdinary(input, row.category, lost, limits));
    const expanded = new Exact(limits.ordinaryLoss === undefined ? row.measuredExpanded : row.allExpanded);
    if (missing.isZero() && expanded.isZero()) {
      return [];
    }
    const u = expanded.toNumber() / COVERAGE_95;
    return [
      {
        category: row.category,
        litres: toLitres(missing),
        judgement: judged('litres', missing, expanded),
        ...(u > 0 ? { standardised: rounded(missing.toNumber() / u, 6) } : {}),
      },
    ];
  });
}

/** The sums, which start again from 0 after a signal: what caused it is looked into then. */
function restarted(values: readonly (number | undefined)[], limits: LossSumLimits): CusumPoint[] {
  const points = tabularCusum(values, limits);
  const first = points.findIndex(({ signal }) => signal !== undefined);
  return first < 0 ? points : [...points.slice(0, first + 1), ...restarted(values.slice(first + 1), limits)];
}

const SIDE = { high: 'missing', low: 'surplus' } as const;

interface PeriodLoss {
  readonly periodId: string;
  readonly startsOn: string;
  readonly loss: UnaccountedLoss | undefined;
}

function pointOf({ periodId, startsOn, loss }: PeriodLoss, { high, low, signal }: CusumPoint): LossPoint {
  const expandedUncertainty = loss?.judgement.expandedUncertainty;
  return {
    periodId,
    startsOn,
    litres: loss?.litres ?? toLitres(0),
    ...(expandedUncertainty === undefined ? {} : { expandedUncertainty }),
    ...(loss?.standardised === undefined ? {} : { standardised: loss.standardised }),
    missing: rounded(high, 6),
    surplus: rounded(low, 6),
    ...(signal === undefined ? {} : { signal: SIDE[signal] }),
  };
}

function seriesOf(category: string, periods: readonly PeriodLoss[], limits: LossSumLimits): LossSeries {
  const sums = restarted(
    periods.map(({ loss }) => loss?.standardised),
    limits,
  );
  const points = periods.map((each, index) => pointOf(each, sums[index])).slice(-MOST_POINTS);
  const signal = points.at(-1)?.signal;
  return { category, points, ...(signal === undefined ? {} : { signal }) };
}

const SIGNAL_WORDS = {
  missing:
    'is missing over the periods than measuring scatter explains. Look for a leak, a meter or a dipstick that is off, or losses that were not entered.',
  surplus:
    'is found too much over the periods than measuring scatter explains. Look for a meter or a dipstick that is off, or entries that were left out.',
} as const;

/** A sentence about each category whose sum went beyond the decision limit in the last period of the series. */
export const signalsOf = (series: readonly LossSeries[]): string[] =>
  series.flatMap(({ category, signal }) => (signal === undefined ? [] : [`More ${category} ${SIGNAL_WORDS[signal]}`]));

/** Losses over the periods of the premises, by category: from the frozen reports and this period. */
export function lossSumsPart(input: ReportInput): LossesOverPeriods {
  const limits = input.settings.lossesOverPeriods ?? DEFAULT_SETTINGS.lossesOverPeriods;
  const { period, earlierLosses } = input;
  const unaccounted = unaccountedOf(input, limits);
  const all = [...earlierLosses, { period, unaccounted }];
  const categories = [...new Set(all.flatMap((each) => each.unaccounted.map(({ category }) => category)))].sort();
  return {
    limits: { ...limits },
    periodsToFalseSignal: rounded(averageRunLength(limits, 0).both, 1),
    periodsToFindLeak: rounded(averageRunLength(limits, LEAK).high, 2),
    unaccounted,
    series: categories.map((category) =>
      seriesOf(
        category,
        all.map(({ period: { id, startsOn }, unaccounted: losses }) => ({
          periodId: id,
          startsOn,
          loss: losses.find((each) => each.category === category),
        })),
        limits,
      ),
    ),
  };
}
