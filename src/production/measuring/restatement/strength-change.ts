import { drinkDensityKgM3 } from '../../../alcoholometry/liquids/drink.js';
import type { AccountKey, Subject } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { combined, componentOf, mapped } from '../../../ledger/books/components.js';
import type { Place } from '../../../ledger/genealogy/genealogy.reader.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { componentsByOrigin, propagate } from '../../../metrology/uncertainty.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import { findingRow } from '../finding-records/finding.rows.js';
import { METHODS } from '../finding-records/finding-kinds.js';
import type { RestatementRead } from './restatement.reader.js';
import type { RestatedFinding } from './restatement.dto.js';
import type { Propagation } from './propagation.js';
import { subjectOf } from './propagation.js';

/** Replacement of one strength by another, with the uncertainty of each: contributions in % vol by origin. */
export interface StrengthChange {
  readonly oldPercent: number;
  readonly newPercent: number;
  readonly oldByOrigin: ReadonlyMap<string, number>;
  readonly newByOrigin: ReadonlyMap<string, number>;
  /** Real extract before and now, °P; left out where either is unknown. */
  readonly extract?: { readonly oldPlato: number; readonly newPlato: number };
}

/** Change of one stock account. */
export interface StockChange {
  readonly place: Place;
  readonly account: AccountKey;
  readonly subject: Subject;
  readonly litres: number;
  readonly change: Amount;
  readonly components: Components;
}

const ZERO = new Exact(0);

/** True for a measured finding, false for one computed from other compositions. */
export const isMeasured = ({ methodId }: FindingRow): boolean => (METHODS as readonly string[]).includes(methodId);

/** Accounts of compositions other than these whose strength was measured on its own, or will be: of those `inProcess` if so. */
export const measuredAccounts = (read: RestatementRead, inProcess: boolean): ReadonlySet<string> =>
  new Set(
    [...read.genealogy.places.values()]
      .filter(({ id, key: { side, compositionId } }) => {
        if (side !== 'stock' || compositionId === undefined || read.accounts.includes(id)) {
          return false;
        }
        const found = read.ofRecord.get(compositionId);
        return found === undefined ? inProcess : isMeasured(found);
      })
      .map(({ id }) => id),
  );

export const subjectLine = (place: Place): Subject => ({ category: place.category, ...subjectOf(place) });

/** Parts of a total, each half-even to six places; what rounding leaves goes to the largest. */
export function roundedParts(parts: readonly Decimal[]): Decimal[] {
  const total = toPlaces6HalfEven(parts.reduce((sum, part) => sum.plus(part), ZERO));
  const rounded = parts.map((part) => toPlaces6HalfEven(part));
  const largest = parts.reduce((best, part, index) => (part.abs().greaterThan(parts[best].abs()) ? index : best), 0);
  const rest = total.minus(rounded.reduce((sum, part) => sum.plus(part), ZERO));
  return rounded.map((part, index) => (index === largest ? part.plus(rest) : part));
}

/** The part of the liquid's alcohol that was added: of an account that holds it pure, else of the account itself. */
function addedShares(read: RestatementRead, { inStock }: Propagation): (place: Place) => Decimal {
  const shareOf = (stock: StockAccount | undefined): Decimal | undefined => {
    const alcohol = stock === undefined ? ZERO : pureAlcohol(stock.balance);
    return stock === undefined || alcohol.isZero() ? undefined : stock.balance.added.dividedBy(alcohol);
  };
  const pure = inStock.find(({ place, litres }) => {
    const there = read.stock.get(place.id)?.balance.litres.toNumber() ?? 0;
    return litres > 0 && Math.abs(there - litres) < 1e-6;
  });
  const known = pure === undefined ? undefined : shareOf(read.stock.get(pure.place.id));
  return (place) => known ?? shareOf(read.stock.get(place.id)) ?? ZERO;
}

function changedComponents(change: StrengthChange, litres: number, stock: StockAccount): Components {
  const delta = new Exact(change.newPercent).minus(change.oldPercent).dividedBy(100);
  const share = stock.balance.litres.isZero() ? ZERO : new Exact(litres).dividedBy(stock.balance.litres);
  const ofVolume = mapped(stock.components, (each) => ({
    litres: ZERO,
    lpa: componentOf(each.litres.times(share).times(delta).toNumber()),
  }));
  const part = (vector: ReadonlyMap<string, number>, sign: number): Components =>
    new Map([...vector].map(([origin, c]) => [origin, { litres: ZERO, lpa: componentOf((sign * c * litres) / 100) }]));
  return combined(ofVolume, part(change.newByOrigin, 1), part(change.oldByOrigin, -1));
}

/** Divides a change of strength among the stock, without the accounts that another step brings to the new strength. */
export function stockChanges(
  read: RestatementRead,
  found: Propagation,
  change: StrengthChange,
  facts: { readonly without?: ReadonlySet<string>; readonly inProcess?: boolean } = {},
): StockChange[] {
  const { without = new Set(), inProcess = false } = facts;
  const there = found.inStock.filter(({ place }) => !without.has(place.id));
  const delta = new Exact(change.newPercent).minus(change.oldPercent).dividedBy(100);
  const alcohol = roundedParts(there.map(({ litres }) => new Exact(litres).times(delta)));
  // While in process what was added is known, and the rest has fermented.
  const addedShare = inProcess ? () => ZERO : addedShares(read, found);
  return there.flatMap(({ place, litres }, index) => {
    const stock = read.stock.get(place.id);
    if (stock === undefined) {
      return [];
    }
    const added = toPlaces6HalfEven(alcohol[index].times(addedShare(place)));
    return [
      {
        place,
        account: stock.account,
        subject: subjectLine(place),
        litres,
        change: amount(0, alcohol[index].minus(added), added),
        components: changedComponents(change, litres, stock),
      },
    ];
  });
}

/** Findings of derived compositions, restated by their share of the change. */
export function derivedFindings(
  read: RestatementRead,
  { derived }: Pick<Propagation, 'derived'>,
  change: StrengthChange,
  facts: { readonly operationId: string; readonly because: string; readonly newId: () => string },
): { rows: RowOf<'finding'>[]; restated: RestatedFinding[] } {
  const rows: RowOf<'finding'>[] = [];
  const restated: RestatedFinding[] = [];
  for (const [compositionId, { share }] of derived) {
    const old = read.ofRecord.get(compositionId);
    if (old === undefined || isMeasured(old)) {
      continue;
    }
    const id = facts.newId();
    const value = old.strengthPercent + share * (change.newPercent - change.oldPercent);
    requirePossible(value);
    const effects = new Map(componentsByOrigin(old.budget));
    change.oldByOrigin.forEach((c, origin) => effects.set(origin, (effects.get(origin) ?? 0) - share * c));
    change.newByOrigin.forEach((c, origin) => effects.set(origin, (effects.get(origin) ?? 0) + share * c));
    const restates = read.lastOfRecord.get(compositionId) ?? old.id;
    const extractPlato = restatedExtract(old, value, share, change);
    rows.push(restatedRow(old, { id, restates, value, effects, share, extractPlato, ...facts }));
    restated.push({ id, restates, compositionId, strength: { value, unit: '%' } });
  }
  return { rows, restated };
}

/** @throws ProblemException `out-of-range` */
export function requirePossible(value: number): void {
  if (value < 0 || value > 100) {
    throw new ProblemException('out-of-range', 'A strength down the genealogy would leave what is possible.', {
      errors: [
        { pointer: '', rule: 'out-of-range', detail: `It would be ${value} % vol.`, range: [0, 100], unit: '%' },
      ],
    });
  }
}

/** Grams of extract in a litre, with the density of the drink. */
const extractGPerL = (strengthPercent: number, extractPlato: number): number =>
  (10 * extractPlato * drinkDensityKgM3({ strengthPercent, extractPlato }, 20)) / 1000;

/**
 * Real extract of a mixture, °P, after the strength and the extract of one of its parts were put right: extract is conserved, so a litre of the mixture
 * has the part's share of the change in grams.
 *
 * @param share litres of the part in a litre of the mixture; @returns the old one where the part's is unknown
 */
export function restatedExtract(
  { strengthPercent, realExtractPlato }: Pick<FindingRow, 'strengthPercent' | 'realExtractPlato'>,
  newPercent: number,
  share: number,
  change: Pick<StrengthChange, 'oldPercent' | 'newPercent' | 'extract'>,
): number | undefined {
  const { extract } = change;
  if (realExtractPlato === null || extract === undefined) {
    return realExtractPlato ?? undefined;
  }
  const more = extractGPerL(change.newPercent, extract.newPlato) - extractGPerL(change.oldPercent, extract.oldPlato);
  const grams = extractGPerL(strengthPercent, realExtractPlato) + share * more;
  // The density hardly depends on the extract: each step gains two digits and more.
  let plato = realExtractPlato;
  for (let step = 0; step < 8; step += 1) {
    plato = (100 * grams) / drinkDensityKgM3({ strengthPercent: newPercent, extractPlato: plato }, 20);
  }
  return plato;
}

/** Row of a derived finding with its new strength and uncertainty. */
export function restatedRow(
  old: FindingRow,
  now: {
    readonly id: string;
    readonly restates: string;
    readonly value: number;
    readonly effects: ReadonlyMap<string, number>;
    readonly share: number;
    /** Real extract now; the old one if left out. */
    readonly extractPlato?: number;
    readonly operationId: string;
    readonly because: string;
  },
): RowOf<'finding'> {
  const inputs = [...now.effects].map(([origin, effect]) => ({
    name: origin,
    value: 0,
    standardUncertainty: Math.abs(effect),
    origin,
    unit: '%',
  }));
  const sensitivities = [...now.effects.values()].map((effect) => Math.sign(effect) || 1);
  return findingRow(
    {
      id: now.id,
      lotId: old.lotId,
      compositionId: old.compositionId,
      standing: 'of-record',
      restates: now.restates,
      operationId: now.operationId,
      sampledAt: old.sampledAt,
      inputs: { ...old.inputs, restatedBecauseOf: now.because, share: now.share },
      warnings: old.warnings,
    },
    {
      strengthPercent: propagate(now.value, inputs, sensitivities),
      method: { id: old.methodId, version: old.methodVersion, source: 'the finding that it restates' },
      warnings: old.warnings,
      realExtractPlato: now.extractPlato ?? old.realExtractPlato ?? undefined,
    },
  );
}
