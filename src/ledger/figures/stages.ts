import type { Stage } from '../books/account.js';

/** The stages of stock in the order in which goods pass them. */
export const STAGES = [
  'materials',
  'cellar',
  'racking',
  'keg',
  'bottling',
  'packed',
] as const satisfies readonly Stage[];
