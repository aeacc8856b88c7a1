// What the reference page says of each method; `checks` are the recorded tables that stand under it. Split by topic.
import { DUTY } from './duty.mjs';
import { LIQUIDS } from './liquids.mjs';
import { MEASUREMENT } from './measurement.mjs';
import { MIXING } from './mixing.mjs';
import { STRENGTH } from './strength.mjs';

export const METHODS = [...LIQUIDS, ...STRENGTH, ...MIXING, ...MEASUREMENT, ...DUTY];
