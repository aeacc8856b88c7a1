import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import type { Measure } from '../../../ledger/books/components.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBase } from '../../../metrology/units.js';

/** Measure of a draw: its *u* as given, or ± 1 % of the litres, rectangular (common practice, no source). */
export const drawMeasure = (origin: string, litres: Decimal, given: Quantity | undefined): Measure => ({
  origin,
  standardUncertaintyL:
    given === undefined ? DEFAULTS.dipOrSightGlass.standardUncertainty * litres.toNumber() : toBase('volume', given),
});
