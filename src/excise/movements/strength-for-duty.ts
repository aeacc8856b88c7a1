import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';

/** The rule by which the strength for duty is found, until a producer's own rule set says otherwise. */
export const DECLARED_STRENGTH_RULE = {
  id: 'declared-strength',
  version: '1',
  words: 'Litres of pure alcohol for duty are the litres times the declared strength, exact; nothing is rounded.',
} as const;

/** Litres × per cent / 100, exact. Volumes under 10⁹ L with 6 places, strengths from 0 to 100 % with 6 places. */
export const pureAlcoholForDuty = (litres: Decimal.Value, strengthPercent: Decimal.Value): Decimal =>
  new Exact(litres).times(new Exact(strengthPercent)).dividedBy(100);
