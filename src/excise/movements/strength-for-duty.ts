import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';

/** Litres × per cent / 100, exact. Volumes under 10⁹ L with 6 places, strengths from 0 to 100 % with 6 places. */
export const pureAlcoholForDuty = (litres: Decimal.Value, strengthPercent: Decimal.Value): Decimal =>
  new Exact(litres).times(new Exact(strengthPercent)).dividedBy(100);
