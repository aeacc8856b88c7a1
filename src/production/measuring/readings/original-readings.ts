/** Gravities so soon after the first one are readings of the same wort; common practice, no source. */
const SAME_WORT_HOURS = 2;

/** The gravity of a wort is often read in a mixing vessel, before the charge; not longer before it than this. Common practice, no source. */
export const BEFORE_CHARGE_HOURS = 24;

const HOUR_MS = 3_600_000;

/** True if a gravity is one of the original: no other one of the lot was taken more than two hours before it. */
export const readsOriginal = (takenAt: Date, first: Date | undefined): boolean =>
  first === undefined || takenAt.getTime() - first.getTime() <= SAME_WORT_HOURS * HOUR_MS;

/** True if a reading was taken so long before the first charge of its lot that it can hardly be of that liquid. */
export const isBeforeCharge = (takenAt: Date, chargedAt: Date | undefined): boolean =>
  chargedAt !== undefined && chargedAt.getTime() - takenAt.getTime() > BEFORE_CHARGE_HOURS * HOUR_MS;
