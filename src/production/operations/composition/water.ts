import { dilute } from '../../../alcoholometry/mixing/dilution.js';
import { mix } from '../../../alcoholometry/mixing/mix.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import { amount, bookStrengthPercent } from '../../../ledger/books/amount.js';
import { volumeComponents } from '../../../ledger/books/components.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';
import { malformed } from '../../shared/references.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import type { Part } from './mixtures.js';

/** Water as a body states it: its volume at 20 °C, or the strength to reach. */
export interface WaterFacts {
  readonly water?: WireQuantity;
  readonly targetStrength?: WireQuantity;
  /** A volume. */
  readonly waterStandardUncertainty?: WireQuantity;
}

/** @throws ProblemException `validation-failed` unless exactly one of water and target strength is given */
export function requireWaterOrTarget({ water, targetStrength }: WaterFacts): void {
  if ((water === undefined) === (targetStrength === undefined)) {
    throw malformed({ pointer: '/water', rule: 'one-of-two', detail: 'Give either water or targetStrength.' });
  }
}

/**
 * Water as a part of a mixture, as given or as the target strength needs it.
 *
 * @param strong the parts that it dilutes
 * @param operation origin of its uncertainty
 * @throws MetrologyError for a target strength that water cannot reach
 */
export function waterPart(body: WaterFacts, strong: readonly Part[], operation: string): Part {
  const litres = body.water === undefined ? waterToReach(body, strong) : toBookLitres(body.water).litres;
  const given = body.waterStandardUncertainty;
  const u = given === undefined ? DEFAULTS.flowMeter.standardUncertainty * litres.toNumber() : toBase('volume', given);
  return {
    name: 'water',
    amount: amount(litres),
    components: volumeComponents([[`${operation}/water`, u]]),
    extractPlato: 0,
  };
}

function waterToReach({ targetStrength }: WaterFacts, strong: readonly Part[]): Decimal {
  const liquids = strong.map(({ amount: each, extractPlato }) => ({
    volumeL: each.litres.toNumber(),
    strengthPercent: bookStrengthPercent(each) ?? 0,
    extractPlato,
  }));
  // One liquid is diluted as it stands: mixing it with nothing would round its figures.
  const whole = liquids.length === 1 ? liquids[0] : mix(liquids);
  const { waterVolumeL } = dilute({
    volumeL: whole.volumeL,
    strengthPercent: whole.strengthPercent,
    extractPlato: whole.extractPlato,
    targetStrengthPercent: targetStrength?.value ?? 0,
  });
  return toPlaces6HalfEven(new Exact(waterVolumeL));
}
