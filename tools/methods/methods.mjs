// Texts of the reference page for each method. `checks` are the recorded tables shown under it.
import { DUTY } from './duty.mjs';
import { LIQUIDS } from './liquids.mjs';
import { MEASUREMENT } from './measurement.mjs';
import { MIXING } from './mixing.mjs';
import { STRENGTH } from './strength.mjs';

export const METHODS = [...LIQUIDS, ...STRENGTH, ...MIXING, ...MEASUREMENT, ...DUTY];
