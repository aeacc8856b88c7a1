import type { LiquidSpec } from '../../../alcoholometry/liquids/liquid.js';
import { DRINK_DENSITY_ORIGIN } from '../../../alcoholometry/liquids/drink.js';
import { mix } from '../../../alcoholometry/mixing/mix.js';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import { mixture } from '../../../alcoholometry/strength/mixture.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, bookStrengthPercent, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import {
  combined,
  componentOf,
  mapped,
  NO_COMPONENTS,
  volumeComponents,
  withoutComponents,
} from '../../../ledger/books/components.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';

/** One liquid of a mixture, with the uncertainty of its amount by origin. Extract in °P. */
export interface Part {
  readonly name: string;
  readonly amount: Amount;
  readonly components: Components;
  readonly extractPlato: number;
}

export interface Mixed {
  /** The result as the books hold it: alcohol to the last decimal that of the parts, volume from mass. */
  readonly amount: Amount;
  readonly components: Components;
  /** Result minus parts, litres; goes to the volume change on mixing. */
  readonly volumeChange: Decimal;
  /** Components of the result that no part has; they go with the volume change. */
  readonly changeComponents: Components;
  readonly realExtractPlato: number;
  readonly finding: StrengthFinding;
  readonly warnings: readonly string[];
}

const specOf = (part: Part): LiquidSpec & { volumeL: number; name: string } => ({
  name: part.name,
  volumeL: part.amount.litres.toNumber(),
  strengthPercent: bookStrengthPercent(part.amount) ?? 0,
  extractPlato: part.extractPlato,
});

/** Uncertainty of a part's strength by origin, % vol: that of its alcohol less the share that its volume causes. */
const strengthEffects = (part: Part): Map<string, number> => {
  const litres = part.amount.litres;
  const strength = pureAlcohol(part.amount).dividedBy(litres);
  return new Map(
    [...part.components].map(([origin, each]) => [
      origin,
      each.lpa.minus(each.litres.times(strength)).dividedBy(litres).times(100).toNumber(),
    ]),
  );
};

/**
 * Mixes parts: mass, pure alcohol and extract conserved, volumes not. The result's components follow from the exact derivatives of its volume
 * and the density formula's own error;
 * its pure alcohol keeps those of the parts.
 *
 * @throws MetrologyError out of the range of the density of drinks
 */
export function mixParts(parts: readonly Part[]): Mixed {
  const used = parts.filter((part) => part.amount.litres.greaterThan(0));
  const result = mix(used.map(specOf));
  const total = used.reduce((sum, part) => plus(sum, part.amount), amount(0));
  const litres = toPlaces6HalfEven(new Exact(result.volumeL));
  const mixed = { ...total, litres };
  const fromParts = combined(...used.map((part) => part.components));
  const components = combined(
    mapped(fromParts, ({ lpa }) => ({ litres: new Exact(0), lpa })),
    ...used.map((part, index) => volumeEffects(part, result.sensitivities[index].volume)),
    densityModel(result.densityModelL),
  );
  const finding = mixture({
    pureAlcoholL: pureAlcohol(mixed).toNumber(),
    volumeL: litres.toNumber(),
    pureAlcoholComponents: new Map([...components].map(([origin, { lpa }]) => [origin, lpa.toNumber()])),
    volumeComponents: new Map([...components].map(([origin, each]) => [origin, each.litres.toNumber()])),
    realExtractPlato: result.extractPlato,
  });
  return {
    amount: mixed,
    components,
    volumeChange: litres.minus(total.litres),
    changeComponents: withoutComponents(components, fromParts),
    realExtractPlato: result.extractPlato,
    finding,
    warnings: [...new Set([...result.warnings, ...finding.warnings])],
  };
}

/** Components of the density formula's own error, where alcohol and extract stand together. */
export const densityModel = (litres: number): Components =>
  litres === 0 ? NO_COMPONENTS : volumeComponents([[DRINK_DENSITY_ORIGIN, litres]]);

function volumeEffects(part: Part, slope: { perVolumeL: number; perStrengthPercent: number }): Components {
  const strength = strengthEffects(part);
  return new Map(
    [...part.components].map(([origin, each]) => [
      origin,
      {
        litres: componentOf(
          slope.perVolumeL * each.litres.toNumber() + slope.perStrengthPercent * (strength.get(origin) ?? 0),
        ),
        lpa: new Exact(0),
      },
    ]),
  );
}
