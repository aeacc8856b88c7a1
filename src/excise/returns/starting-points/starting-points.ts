import { AUSTRALIA_RETURN } from './australia.js';
import { GERMANY_RETURN } from './germany.js';
import type { ReturnMappingStart } from './starting-point.js';
import { UNITED_KINGDOM_RETURN } from './united-kingdom.js';
import { US_MONTHLY_REPORT } from './united-states.js';

/**
 * Ready-made mappings, each with its sources and their dates; the lines of the US report stand in test/reference/excise/ttb-report-lines.csv. Examples to start from,
 * not advice: forms change, and none is the whole of one.
 */
export const RETURN_STARTING_POINTS: readonly ReturnMappingStart[] = [
  US_MONTHLY_REPORT,
  UNITED_KINGDOM_RETURN,
  AUSTRALIA_RETURN,
  GERMANY_RETURN,
];
