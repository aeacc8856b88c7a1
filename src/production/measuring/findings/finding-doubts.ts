import type { TerminalRule } from '../../../alcoholometry/fermentation/fermentation-curve.js';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { fromExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { Standing } from '../finding-records/finding-kinds.js';
import { terminalRule } from '../fermentation/fermentation.reader.js';
import type { BasisReading } from '../position/gravity-readings.js';
import { platoOf } from '../readings/reading-doubts.js';
import { inStock, isInProcess } from '../position/lot-position.js';
import type { FindingFlag } from './finding-remarks.dto.js';
import type { NewFinding } from './findings.dto.js';
import type { FindingRead } from './finding-inputs.reader.js';

/** Between these hours two readings show whether a ferment still falls; common practice, no source. */
const SHOWS_FALL_HOURS = { min: 4, timesRule: 1.5 };
/** Twice the uncertainty of a planned final gravity; common practice, no source. */
const FAR_ABOVE_PLATO = 1.4;

const sg = (plato: number): string => fromExtract(plato, 'sg-20-20').toFixed(4);

const platoOfReading = ({ value, unit }: BasisReading): number | undefined =>
  value === null || unit === null ? undefined : platoOf({ value, scale: unit as GravityScale });

/** Fall between the last two gravities, where they lie so close in time that the ferment must still be under way. */
function stillFalls(gravities: readonly BasisReading[], rule: TerminalRule): string | undefined {
  const [before, last] = gravities.slice(-2);
  const [high, low] = [before, last].map((each) => each && platoOfReading(each));
  if (high === undefined || low === undefined || high - low <= rule.changePlato) {
    return undefined;
  }
  const hours = (last.takenAt.getTime() - before.takenAt.getTime()) / 3_600_000;
  return hours < SHOWS_FALL_HOURS.min || hours > SHOWS_FALL_HOURS.timesRule * rule.hours
    ? undefined
    : `The gravity fell from ${sg(high)} to ${sg(low)} within ${Math.round(hours)} hours.`;
}

/** Reason to believe that the composition still ferments, by its gravities up to the one that the finding rests on. */
export function fermentingReason(body: NewFinding, read: FindingRead): string | undefined {
  const { target, basis, gravities, settings, plannedFinalPlato } = read;
  const { final } = basis;
  if (!(body.method === 'mass-balance' || body.method === 'gravity-drop-table') || final === undefined) {
    return undefined;
  }
  if (!isInProcess(target)) {
    return undefined;
  }
  const until = gravities.filter(({ takenAt }) => takenAt <= final.takenAt);
  const falls = stillFalls(until, terminalRule(settings));
  const now = platoOfReading(final);
  if (falls !== undefined || now === undefined || plannedFinalPlato === undefined) {
    return falls;
  }
  return now - plannedFinalPlato > FAR_ABOVE_PLATO
    ? `The gravity ${sg(now)} stands far above the planned ${sg(plannedFinalPlato)}.`
    : undefined;
}

/** Standing of a finding: as asked for; else of record, or provisional where the composition seems to ferment on. */
export const standingOf = (body: NewFinding, fermenting: string | undefined): Standing =>
  body.standing ?? (fermenting === undefined ? 'of-record' : 'provisional');

/** Remarks on a finding about to be written. */
export function findingFlags(
  body: NewFinding,
  read: FindingRead,
  facts: { readonly standing: Standing; readonly fermenting: string | undefined },
): FindingFlag[] {
  const { standing, fermenting } = facts;
  return [
    ...(fermenting === undefined || body.standing === 'provisional' || standing === 'supporting'
      ? []
      : [
          {
            code: 'fermenting',
            detail:
              standing === 'provisional'
                ? `${fermenting} The finding is provisional, so the composition stays in process.`
                : `${fermenting} The finding is of record all the same, as asked.`,
            suggestion:
              standing === 'provisional'
                ? 'Find it again when the gravity stands still. If it has finished, send standing: "of-record".'
                : 'Read the gravity again in two days; what ferments on in closed containers bursts them.',
          },
        ]),
    ...(read.basis.originalDoubt === undefined || body.method === 'certificate'
      ? []
      : [
          {
            code: 'originals-disagree',
            detail: read.basis.originalDoubt,
            suggestion: 'Strike the wrong reading, or name the right one in originalReadingId.',
          },
        ]),
    ...(standing === 'of-record' ? notGauged(read) : []),
  ];
}

/** A first finding of record books alcohol on the litres in the books; a gauge that comes after it puts the difference on another line. */
function notGauged({ target, gaugedAt }: FindingRead): FindingFlag[] {
  if (!isInProcess(target) || gaugedAt !== undefined || target.composition.kind !== 'charge') {
    return [];
  }
  const litres = inStock(target)
    .reduce((sum, { balance }) => sum + balance.litres.toNumber(), 0)
    .toFixed(1);
  return [
    {
      code: 'gauge-first',
      detail: `The alcohol is booked on the ${litres} L that the books hold since the charge; the vessel was not gauged since.`,
      suggestion:
        'Gauge first, then enter the finding: reverse this one for that. Or gauge now: the difference goes to re-measurement, and produced and re-measured add up to the same.',
    },
  ];
}
