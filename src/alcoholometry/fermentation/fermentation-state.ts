import type { CurvePoint, TerminalRule } from './fermentation-curve.js';

export const FERMENTATION_STATES = ['lag', 'active', 'slowing', 'terminal'] as const;
export type FermentationState = (typeof FERMENTATION_STATES)[number];

export interface StateFound {
  readonly state: FermentationState;
  /** Hours of the first reading from which on the gravity stood still; only when terminal. */
  readonly stillSinceHours?: number;
  /** The gravity stands still although the ferment has hardly begun, or far above its expected end. */
  readonly stalled?: 'not-started' | 'above-expected';
  /** Fall between the last two readings, °P a day. */
  readonly platoPerDay?: number;
}

/** Below half of its fastest fall a ferment slows; common practice, no source. */
const SLOW_SHARE = 0.5;
/** A lag of three days is long; common practice, no source. */
const LONG_LAG_HOURS = 72;
/** A degree above the plan is far, or twice its uncertainty where that is more; common practice, no source. */
const FAR_PLATO = 1;

/** The first of the last readings that all lie within the rule's change of one another, if they cover its hours. */
function stillSince(points: readonly CurvePoint[], { changePlato, hours }: TerminalRule): number | undefined {
  const last = points[points.length - 1];
  let [least, most] = [last.plato, last.plato];
  let since = last.hours;
  for (const { hours: at, plato } of [...points].reverse()) {
    [least, most] = [Math.min(least, plato), Math.max(most, plato)];
    if (most - least > changePlato + 1e-9) {
      break;
    }
    since = at;
  }
  return last.hours - since >= hours ? since : undefined;
}

/**
 * State of a ferment by the producer's rule: in lag until the gravity has fallen by more than the rule's change; slowing when the last fall is less
 * than half of the fastest; terminal once the gravity changed by no more than the rule's change over the rule's hours.
 *
 * @param points in the order of time, at least one, °P as read
 */
export function fermentationState(
  points: readonly CurvePoint[],
  rule: TerminalRule,
  expectedFinal?: { readonly plato: number; readonly standardUncertainty: number },
): StateFound {
  const [first, last] = [points[0], points[points.length - 1]];
  const rates = points.slice(1).flatMap((point, index) => {
    const hours = point.hours - points[index].hours;
    return hours > 0 ? [(24 * (points[index].plato - point.plato)) / hours] : [];
  });
  const latest = rates.at(-1);
  const rate = latest === undefined ? {} : { platoPerDay: latest };
  if (first.plato - Math.min(...points.map(({ plato }) => plato)) <= rule.changePlato) {
    const isLong = last.hours - first.hours >= LONG_LAG_HOURS;
    return { state: 'lag', ...rate, ...(isLong ? { stalled: 'not-started' as const } : {}) };
  }
  const since = stillSince(points, rule);
  if (since !== undefined) {
    const isAbove =
      expectedFinal !== undefined &&
      last.plato - expectedFinal.plato > Math.max(FAR_PLATO, 2 * expectedFinal.standardUncertainty);
    return {
      state: 'terminal',
      stillSinceHours: since,
      ...rate,
      ...(isAbove ? { stalled: 'above-expected' as const } : {}),
    };
  }
  const slows = latest !== undefined && latest < SLOW_SHARE * Math.max(...rates);
  return { state: slows ? 'slowing' : 'active', ...rate };
}
