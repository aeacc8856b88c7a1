import type { Amount } from '../../../ledger/books/amount.js';
import { pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import {
  combined,
  componentOf,
  mapped,
  volumeComponents,
  withoutComponents,
} from '../../../ledger/books/components.js';
import type { Liquid } from '../../../alcoholometry/liquids/liquid.js';
import { partialVolumes } from '../../../alcoholometry/liquids/liquid.js';
import type { Solid } from '../../../alcoholometry/mixing/solids.js';
import { addSolids } from '../../../alcoholometry/mixing/solids.js';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import { mixture } from '../../../alcoholometry/strength/mixture.js';
import { dextroseFromMonohydrateKg, DEXTROSE_ON_SUCROSE_SCALE } from '../../../alcoholometry/liquids/sugar-solution.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Material } from '../../registers/materials/materials.dto.js';
import { densityModel } from '../composition/mixtures.js';
import type { VesselDraw } from '../../measuring/position/vessel-draw.js';
import type { AdditionFacts } from './addition-amount.js';

export interface Dissolving {
  readonly body: AdditionFacts;
  readonly material: Material | undefined;
  readonly base: VesselDraw;
  readonly start: Liquid;
  readonly massKg: number;
  readonly massUKg: number;
  readonly operation: string;
}

export interface Dissolved {
  readonly amount: Amount;
  readonly components: Components;
  readonly addedLitres: Decimal;
  readonly addedComponents: Components;
  readonly finding: StrengthFinding;
  /** Of what was weighed, what goes into solution, kg. */
  readonly dissolvedKg: number;
  /** Extract of it on the sucrose scale, % by mass. */
  readonly extractPercent: number;
  readonly warnings: readonly string[];
}

const SOLID_OF: Readonly<Record<string, Solid>> = {
  'dextrose-anhydrous': 'dextrose-anhydrous',
  'dextrose-monohydrate': 'dextrose-monohydrate',
  sucrose: 'sucrose',
};

/** Reading of a dry sugar on the sucrose scale, % of its mass: dextrose solutions are lighter than sucrose ones. */
function extractPercentOf(solid: Solid): number {
  if (solid === 'sucrose' || solid === 'other-soluble') {
    return 100;
  }
  return 100 * DEXTROSE_ON_SUCROSE_SCALE * (solid === 'dextrose-anhydrous' ? 1 : dextroseFromMonohydrateKg(1));
}

/**
 * Dissolves a solid in what is in a vessel: mass and pure alcohol conserved, the volume from the density of the result.
 *
 * @throws MetrologyError beyond the range of the density of drinks
 */
export function dissolve({ body, material, base, start, massKg, massUKg, operation }: Dissolving): Dissolved {
  const solid = SOLID_OF[material?.fermentable ?? ''] ?? 'other-soluble';
  const soluble = body.solubleFraction?.value ?? material?.extractYield?.value ?? 100;
  const dissolvedKg = (massKg * soluble) / 100;
  const { result, volumeAddedL, densityModelL, warnings } = addSolids({
    volumeL: start.volumeL,
    strengthPercent: start.strengthPercent,
    extractPlato: start.extractPlato,
    solid,
    massKg: dissolvedKg,
  });
  const addedLitres = toPlaces6HalfEven(new Exact(volumeAddedL));
  const amount: Amount = { ...base.amount, litres: base.amount.litres.plus(addedLitres) };
  const components = combined(
    carried(base.components, start, result),
    volumeComponents([[`${operation}/mass`, (volumeAddedL * massUKg) / massKg]]),
    densityModel(densityModelL),
  );
  return {
    amount,
    components,
    addedLitres,
    addedComponents: withoutComponents(components, base.components),
    finding: mixture({
      pureAlcoholL: pureAlcohol(amount).toNumber(),
      volumeL: amount.litres.toNumber(),
      pureAlcoholComponents: new Map([...components].map(([origin, { lpa }]) => [origin, lpa.toNumber()])),
      volumeComponents: new Map([...components].map(([origin, { litres }]) => [origin, litres.toNumber()])),
      realExtractPlato: result.extractPlato,
    }),
    dissolvedKg,
    extractPercent: extractPercentOf(solid),
    warnings:
      soluble < 100
        ? [
            ...warnings,
            'Only the dissolved part is posted. The undissolved part and the juice are not counted: gauge the vessel.',
          ]
        : warnings,
  };
}

/** Uncertainty of the litres before, as litres of the result. That of the strength is left out: it changes the volume by far less. */
function carried(components: Components, start: Liquid, result: Liquid): Components {
  const partial = partialVolumes(result);
  const slope =
    (partial.perMassKg * start.massKg +
      partial.perAlcoholKg * start.alcoholKg +
      partial.perExtractKg * start.extractKg) /
    start.volumeL;
  return mapped(components, ({ litres, lpa }) => ({ litres: componentOf(slope * litres.toNumber()), lpa }));
}
