import type { NominalKind } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, bookStrengthPercent, drawnFrom } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { measuredComponents, volumeComponents } from '../../../ledger/books/components.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { MaterialLot } from '../../../generated/prisma/client.js';
import { liquidOfVolume } from '../../../alcoholometry/liquids/liquid.js';
import type { Liquid } from '../../../alcoholometry/liquids/liquid.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBase } from '../../../metrology/units.js';
import type { FermentableAddition, LineageStep } from '../../lots/compositions/lineage.reader.js';
import { hasOriginalGravity } from '../../lots/compositions/lineage.reader.js';
import type { Material } from '../../registers/materials/materials.dto.js';
import { mixParts } from '../composition/mixtures.js';
import type { CompositionPosition } from '../../measuring/position/lot-position.js';
import type { KnownExtract } from '../../measuring/position/extract.reader.js';
import type { VesselDraw } from '../../measuring/position/vessel-draw.js';
import { drawFrom, requireEnough, stockIn } from '../../measuring/position/vessel-draw.js';
import { malformed } from '../../shared/references.js';
import { dosedLitres, litresGiven, massGivenKg } from './addition-amount.js';
import type { AdditionFacts } from './addition-amount.js';
import { dissolve } from './dissolve.js';

/** Facts that an addition is computed from. */
export interface AdditionRead {
  readonly target: CompositionPosition | undefined;
  readonly extract: KnownExtract;
  readonly lineage: readonly LineageStep[];
  readonly material: Material | undefined;
  readonly materialLot: MaterialLot | undefined;
  /** The account of a material lot that bears alcohol. */
  readonly materialStock: StockAccount | undefined;
}

/** One thing that comes in besides what was in the vessel. */
interface AddedLine {
  readonly from: 'material' | Extract<NominalKind, 'solids-dissolved' | 'liquid-added' | 'mixing-volume-change'>;
  readonly amount: Amount;
  readonly components: Components;
}

export interface AdditionMix {
  readonly booked: 'negligible' | 'solid' | 'liquid' | 'alcohol';
  readonly base: VesselDraw;
  readonly amount: Amount;
  readonly components: Components;
  readonly lines: readonly AddedLine[];
  /** Litres that came in, and result minus parts. */
  readonly addedLitres: Decimal;
  readonly volumeChange: Decimal;
  /** Litres that were taken from the material lot, as given or as the dose came to; undefined for a mass. */
  readonly usedLitres: Decimal | undefined;
  /** Undefined where nothing changed. */
  readonly finding: StrengthFinding | undefined;
  readonly fermentable: FermentableAddition | undefined;
  readonly warnings: readonly string[];
}

/** Up to this share of the lot's mass what is no alcohol, sugar or fruit takes up no litres of the books. Common practice, no source. */
const NEGLIGIBLE_SHARE = 0.001;

const REFERMENT =
  'Sugar in a finished drink can ferment again: in a closed container the pressure may burst it. Stabilise it or keep it where gas can leave.';
const NOT_FOUND_YET =
  'No finding shows yet how much has fermented. The effective original extract is computed with the alcohol in the books.';

/**
 * Adds what the body names to what is in the vessel, on the books as they stand.
 *
 * @param operation origin of the uncertainty of the addition itself
 * @throws ProblemException `insufficient-stock`, `validation-failed`; MetrologyError out of the range of the density of drinks
 */
export function mixAddition(body: AdditionFacts, read: AdditionRead, operation: string): AdditionMix {
  const stock = stockIn(read.target, body.vesselId, '/vesselId');
  const base = drawFrom(read.target as CompositionPosition, stock, undefined, '/vesselId');
  const { warnings: stated, ...start } = liquidOfVolume(base.amount.litres.toNumber(), {
    strengthPercent: bookStrengthPercent(base.amount) ?? 0,
    extractPlato: read.extract.plato,
  });
  const before = { base, start, warnings: [...read.extract.warnings, ...stated] };
  if (read.materialStock !== undefined) {
    return addAlcohol(body, read, before, read.materialStock, operation);
  }
  return body.mass === undefined ? addLiquid(body, read, before, operation) : addSolid(body, read, before, operation);
}

const isSweet = ({ purpose }: AdditionFacts): boolean => purpose === 'sugar' || purpose === 'fruit';

/** True for so little of what is no sugar or fruit that the composition stays what it is, be it solid or liquid. */
const isNegligible = (body: AdditionFacts, massKg: number, { massKg: liquidKg }: Liquid): boolean =>
  !isSweet(body) && massKg <= NEGLIGIBLE_SHARE * liquidKg;

function negligible({ base }: Before, usedLitres?: Decimal): AdditionMix {
  const zero = base.amount.litres.minus(base.amount.litres);
  return {
    booked: 'negligible',
    base,
    amount: base.amount,
    components: base.components,
    lines: [],
    addedLitres: zero,
    volumeChange: zero,
    usedLitres,
    finding: undefined,
    fermentable: undefined,
    warnings: [],
  };
}

interface Before {
  readonly base: VesselDraw;
  readonly start: Liquid;
  readonly warnings: readonly string[];
}

function addAlcohol(
  body: AdditionFacts,
  read: AdditionRead,
  { base, start, warnings }: Before,
  stock: StockAccount,
  operation: string,
): AdditionMix {
  if (body.mass !== undefined) {
    throw malformed({
      pointer: '/mass',
      rule: 'volume-needed',
      detail: 'A material that contains alcohol is added by volume at 20 °C, or by dose.',
    });
  }
  const extractPlato = body.extract ?? 0;
  const strengthPercent = bookStrengthPercent(stock.balance) ?? 0;
  const litres = litresGiven(body) ?? dosedLitres(body, start, { strengthPercent, extractPlato });
  requireEnough(stock, litres, body.volume === undefined ? '/dose' : '/volume');
  const added = drawnFrom(stock.balance, litres);
  const components = measuredComponents(stock.components, stock.balance, litres, {
    origin: `${operation}/added`,
    standardUncertaintyL: measureU(body, litres),
  });
  return mixLiquid('alcohol', { amount: added, components, extractPlato }, read, { base, start, warnings });
}

/** Standard uncertainty of a volume that was measured into the vessel, L. */
const measureU = (body: AdditionFacts, litres: Decimal): number =>
  body.standardUncertainty === undefined
    ? DEFAULTS.flowMeter.standardUncertainty * litres.toNumber()
    : toBase('volume', body.standardUncertainty);

const measured = (body: AdditionFacts, litres: Decimal, operation: string): Components =>
  volumeComponents([[`${operation}/added`, measureU(body, litres)]]);

function addLiquid(body: AdditionFacts, read: AdditionRead, before: Before, operation: string): AdditionMix {
  const extractPlato = body.extract ?? 0;
  const litres = litresGiven(body) ?? dosedLitres(body, before.start, { strengthPercent: 0, extractPlato });
  const one = liquidOfVolume(litres.toNumber(), { strengthPercent: 0, extractPlato });
  if (isNegligible(body, one.massKg, before.start)) {
    return negligible(before, litres);
  }
  const components = measured(body, litres, operation);
  const mixed = mixLiquid('liquid', { amount: amount(litres), components, extractPlato }, read, before);
  const feeds = body.purpose === 'sugar' && extractPlato > 0 && mayFeed(read, before.base);
  return {
    ...mixed,
    fermentable: feeds
      ? fermentable(before.start, one.massKg, DEFAULTS.flowMeter.standardUncertainty * one.massKg, extractPlato)
      : undefined,
    warnings: [...mixed.warnings, ...(feeds ? unfoundYet(read) : [])],
  };
}

function mixLiquid(
  booked: 'alcohol' | 'liquid',
  added: { readonly amount: Amount; readonly components: Components; readonly extractPlato: number },
  read: AdditionRead,
  { base, warnings }: Before,
): AdditionMix {
  const mixed = mixParts([
    { name: 'lot', amount: base.amount, components: base.components, extractPlato: read.extract.plato },
    { name: 'addition', ...added },
  ]);
  return {
    booked,
    base,
    amount: mixed.amount,
    components: mixed.components,
    lines: [
      {
        from: booked === 'alcohol' ? 'material' : 'liquid-added',
        amount: added.amount,
        components: added.components,
      },
      { from: 'mixing-volume-change', amount: amount(mixed.volumeChange), components: mixed.changeComponents },
    ],
    addedLitres: added.amount.litres,
    volumeChange: mixed.volumeChange,
    usedLitres: added.amount.litres,
    finding: mixed.finding,
    fermentable: undefined,
    warnings: [
      ...new Set([...warnings, ...mixed.warnings, ...(!base.inProcess && added.extractPlato > 0 ? [REFERMENT] : [])]),
    ],
  };
}

function addSolid(body: AdditionFacts, read: AdditionRead, before: Before, operation: string): AdditionMix {
  const { base, start } = before;
  const massKg = massGivenKg(body);
  if (isNegligible(body, massKg, start)) {
    return negligible(before);
  }
  const u =
    body.standardUncertainty === undefined
      ? DEFAULTS.loadCell.standardUncertainty * massKg
      : toBase('mass', body.standardUncertainty);
  const found = dissolve({ body, material: read.material, base, start, massKg, massUKg: u, operation });
  const feeds = body.purpose === 'sugar' && mayFeed(read, base);
  return {
    booked: 'solid',
    base,
    amount: found.amount,
    components: found.components,
    lines: [{ from: 'solids-dissolved', amount: amount(found.addedLitres), components: found.addedComponents }],
    addedLitres: found.addedLitres,
    volumeChange: found.addedLitres.minus(found.addedLitres),
    usedLitres: undefined,
    finding: found.finding,
    fermentable: feeds ? fermentable(start, found.dissolvedKg, u, found.extractPercent) : undefined,
    warnings: [
      ...before.warnings,
      ...found.warnings,
      ...(!base.inProcess && isSweet(body) ? [REFERMENT] : []),
      ...(feeds ? unfoundYet(read) : []),
    ],
  };
}

/** True where the lot fermented by its original gravity and the drop in gravity says nothing of it any more. */
export const endsOriginalGravity = (
  { lineage }: AdditionRead,
  { base, booked, fermentable: feeds }: AdditionMix,
): boolean => base.inProcess && booked !== 'negligible' && feeds === undefined && hasOriginalGravity(lineage);

/** Sugar into a fermenting wash that still answers to its original gravity. */
const mayFeed = (read: AdditionRead, base: VesselDraw): boolean => base.inProcess && hasOriginalGravity(read.lineage);

const unfoundYet = ({ target }: AdditionRead): string[] => (target?.provisional === undefined ? [NOT_FOUND_YET] : []);

const fermentable = (
  start: Liquid,
  addedMassKg: number,
  addedMassStandardUncertaintyKg: number,
  addedExtractPercent: number,
): FermentableAddition => ({
  vesselMassKg: start.massKg,
  alcoholByMassPercent: (100 * start.alcoholKg) / start.massKg,
  addedMassKg,
  addedMassStandardUncertaintyKg,
  addedExtractPercent,
});
