import { Injectable } from '@nestjs/common';
import type { AccountKey } from '../../../ledger/books/account.js';
import { nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, drawnFrom, NOTHING, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { combined, drawnComponents, NO_COMPONENTS, rootSumSquare } from '../../../ledger/books/components.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { requireEnough } from '../../measuring/position/vessel-draw.js';
import { isMassUnit } from '../../shared/mass-or-volume.js';
import { requireSameOwner } from '../../shared/owner.js';
import { malformed, referenced } from '../../shared/references.js';
import type { Material } from '../../registers/materials/materials.dto.js';
import { MaterialReader } from '../../registers/materials/material.reader.js';
import type { MaterialOnHand } from '../material-stock/material-stock.reader.js';
import { MaterialStockReader } from '../material-stock/material-stock.reader.js';
import type { MaterialUsed } from '../material-stock/material-use.js';
import { materialUsed } from '../material-stock/material-use.js';
import type { FilledWith } from '../../measuring/packed/packed-strength.js';
import type { Conditioned } from './conditioning.js';
import type { ContainerDose, DosedMaterial } from './doses.dto.js';

/** Litres that a kilogram of solids takes up in a drink, as sucrose does (ICUMSA SPS-4, see `addSolids`). */
const LITRES_PER_KG = 0.62;
/** Up to this share of the contents' mass a solid takes up no litres of the books. Common practice, no source. */
const NEGLIGIBLE_KG_PER_L = 0.001;

const REFERMENTS =
  'Sugar in a closed container can ferment, and the pressure may burst it: dose sugar only into what is stabilised.';

/** A dose with what it is taken from. */
export interface DoseRead {
  readonly dose: ContainerDose;
  readonly material: Material | undefined;
  readonly owner: string | null;
  readonly premisesId: string;
  /** Of a material that bears alcohol. */
  readonly stock: StockAccount | undefined;
}

/** Doses with the quantities on hand of what bears no alcohol. */
export interface DosesRead {
  readonly doses: readonly DoseRead[];
  readonly onHand: ReadonlyMap<string, MaterialOnHand>;
}

/** Reads the material lots that a run doses from. */
@Injectable()
export class DoseReader {
  constructor(
    private readonly stock: StockReader,
    private readonly materials: MaterialReader,
    private readonly onHand: MaterialStockReader,
  ) {}

  /** @throws ProblemException `not-found` */
  async of(tx: Tx, producerId: string, doses: readonly ContainerDose[]): Promise<DosesRead> {
    const read: DoseRead[] = [];
    for (const [index, dose] of doses.entries()) {
      const lot = await referenced(tx, producerId, 'materialLot', dose.materialLotId, `/doses/${index}/materialLotId`);
      const [stock] = await this.stock.ofMaterialLots(tx, producerId, [lot.id]);
      const material = await this.materials.row(tx, producerId, lot.materialId);
      read.push({ dose, material, owner: lot.owner, premisesId: lot.premisesId, stock });
    }
    const ids = doses.map(({ materialLotId }) => materialLotId);
    return { doses: read, onHand: await this.onHand.of(tx, producerId, ids) };
  }
}

/** One material that went into the containers. */
interface DosedPart {
  readonly read: DoseRead;
  readonly from: 'material' | 'liquid-added' | 'solids-dissolved';
  readonly amount: Amount;
  readonly components: Components;
}

export interface Dosed {
  readonly parts: readonly DosedPart[];
  /** All of them together. */
  readonly amount: Amount;
  readonly components: Components;
  readonly warnings: readonly string[];
}

function partOf(read: DoseRead, index: number, count: number, litresEach: Decimal): DosedPart {
  const { perContainer } = read.dose;
  const pointer = `/doses/${index}/perContainer`;
  const isMass = isMassUnit(perContainer.unit);
  if (read.stock !== undefined) {
    if (isMass) {
      const detail = 'A material that contains alcohol is dosed by volume at 20 °C.';
      throw malformed({ pointer, rule: 'volume-needed', detail });
    }
    const litres = toBookLitres(perContainer).litres.times(count);
    requireEnough(read.stock, litres, pointer);
    return {
      read,
      from: 'material',
      amount: drawnFrom(read.stock.balance, litres),
      components: drawnComponents(read.stock.components, read.stock.balance, litres),
    };
  }
  if (!isMass) {
    const litres = toBookLitres(perContainer).litres.times(count);
    return { read, from: 'liquid-added', amount: amount(litres), components: NO_COMPONENTS };
  }
  const massKg = toBase('mass', perContainer);
  const taken = massKg <= NEGLIGIBLE_KG_PER_L * litresEach.toNumber() ? 0 : LITRES_PER_KG * massKg * count;
  return {
    read,
    from: 'solids-dissolved',
    amount: amount(toPlaces6HalfEven(new Exact(taken))),
    components: NO_COMPONENTS,
  };
}

const fermentsOn = ({ material }: DoseRead): boolean =>
  material?.fermentable !== undefined || material?.kind === 'sugar' || material?.kind === 'fruit';

/**
 * Materials dosed into each container after it was filled. Volumes add up: what mixing changes of so small a part is below the books' uncertainty.
 *
 * @param place of the liquid that was filled
 * @throws ProblemException `validation-failed`; `insufficient-stock`; `conflict` for another owner's material
 */
export function dosed(doses: readonly DoseRead[], count: number, litresEach: Decimal, place: AccountKey): Dosed {
  doses.forEach(({ owner, premisesId }, index) => {
    const pointer = `/doses/${index}/materialLotId`;
    requireSameOwner(place.owner, owner, pointer);
    if (premisesId !== place.premisesId) {
      const detail = 'The material lot came in at other premises.';
      throw malformed({ pointer, rule: 'other-premises', detail });
    }
  });
  const twice = doses.findIndex(
    ({ dose }, index) => doses.findIndex((each) => each.dose.materialLotId === dose.materialLotId) < index,
  );
  if (twice >= 0) {
    const detail = 'The material lot is there twice: give what each container gets of it in one dose.';
    throw malformed({ pointer: `/doses/${twice}`, rule: 'not-unique', detail });
  }
  const parts = doses.map((each, index) => partOf(each, index, count, litresEach));
  return {
    parts,
    amount: parts.reduce((sum, part) => plus(sum, part.amount), NOTHING),
    components: parts.reduce<Components>((sum, part) => combined(sum, part.components), NO_COMPONENTS),
    warnings: doses.some(fermentsOn) ? [REFERMENTS] : [],
  };
}

/** Doses into the containers: out of their material lots, or as liquid added and solids dissolved. */
export function moveDoses(draft: OperationDraft, { parts }: Dosed, into: AccountKey, subject: DoseSubject): void {
  for (const { read, from, amount: what, components } of parts) {
    if (from === 'material' && read.stock !== undefined) {
      const material = { category: 'materials', materialLotId: read.dose.materialLotId };
      const { account } = read.stock;
      draft.move(account, nominalAccount(account, 'used-as-material', 'materials'), what, material, components);
      draft.move(nominalAccount(into, 'used-as-material', subject.category), into, what, subject, components);
    } else if (from !== 'material' && !what.litres.isZero()) {
      draft.move(nominalAccount(into, from, subject.category), into, what, subject, components);
    }
  }
}

interface DoseSubject {
  readonly category: string;
  readonly lotId: string;
  readonly compositionId: string;
  readonly packagedLotId: string;
}

const scaled = ({ value, unit }: ContainerDose['perContainer'], count: number) => ({
  value: new Exact(value).times(count).toDecimalPlaces(9).toNumber(),
  unit,
});

/** Entries of what a run takes from material lots that the books do not hold, with the doubts. */
export const dosesUsed = (operationId: string, { doses, onHand }: DosesRead, count: number): MaterialUsed =>
  materialUsed(
    operationId,
    doses.map(({ dose }) => ({ materialLotId: dose.materialLotId, quantity: scaled(dose.perContainer, count) })),
    onHand,
  );

/** Doses as the document of the run and its answer keep them; the whole of each names the material for the trace. */
export const dosedFacts = (
  { parts }: Dosed,
  count: number,
): (DosedMaterial & { readonly volume?: object; readonly mass?: object })[] =>
  parts.map(({ read: { dose }, amount: what }) => ({
    materialLotId: dose.materialLotId,
    perContainer: { value: dose.perContainer.value, unit: dose.perContainer.unit },
    pureAlcohol: { value: pureAlcohol(what).toNumber(), unit: 'L' },
    [isMassUnit(dose.perContainer.unit) ? 'mass' : 'volume']: scaled(dose.perContainer, count),
  }));

/** Part of the containers' contents that a run adds to the vessel's liquid in the containers; null where it adds nothing. @param fromVessel litres that came from the vessel */
export function filledWithOf(
  conditioned: Conditioned | undefined,
  doses: Dosed | undefined,
  fromVessel: Decimal,
): FilledWith | null {
  if (conditioned === undefined && doses === undefined) {
    return null;
  }
  const all = fromVessel.plus(doses?.amount.litres ?? 0);
  const percent = (litres: Decimal): number => litres.dividedBy(all).times(100).toNumber();
  const doseU = doses === undefined ? 0 : (100 * rootSumSquare(doses.components, 'lpa')) / all.toNumber();
  return {
    vesselShare: { value: percent(fromVessel), unit: '%' },
    strengthAdded: {
      value: (conditioned?.strengthAddedPercent ?? 0) + (doses === undefined ? 0 : percent(pureAlcohol(doses.amount))),
      unit: '%',
    },
    standardUncertainty: { value: Math.hypot(conditioned?.standardUncertaintyPercent ?? 0, doseU), unit: '%' },
  };
}
