import { AUSTRALIA, GERMANY } from './australia-germany.js';
import { NEW_ZEALAND, PLAIN } from './plain.js';
import type { StartingPoint } from './starting-point.js';
import { HECTOLITRE_PERCENT, UNITED_KINGDOM } from './united-kingdom.js';
import { US_BREWER, US_SPIRITS } from './united-states.js';

/**
 * Ready-made sets, each with its sources and their dates; the rows stand in test/reference/excise. Examples to start from, not advice: none is
 * the whole of a law, and rates move.
 */
export const STARTING_POINTS: readonly StartingPoint[] = [
  PLAIN,
  UNITED_KINGDOM,
  HECTOLITRE_PERCENT,
  US_BREWER,
  US_SPIRITS,
  AUSTRALIA,
  GERMANY,
  NEW_ZEALAND,
];
