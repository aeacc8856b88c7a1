import { statusKey } from '../../../ledger/figures/by-status.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, drawnFrom, negated, NOTHING, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact, sumOf, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import { localDay } from '../../../production/shared/local-day.js';
import type { ChargeableLoss } from '../../../tenancy/producers/chargeable-loss.dto.js';
import { grouped } from '../../../platform/grouped.js';
import type { DifferenceRow } from '../../movements/stock-takes/stock-take.reader.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import type { ReportInput } from '../sources/report-input.js';

/** A loss or a shortage as it counts: what was reversed is not there, what duty was paid on neither. */
export interface Loss {
  readonly operationId: string;
  readonly line: string;
  readonly category: string;
  readonly day: string;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
  readonly reasonCode: string | null;
  /** Amount lost, positive. */
  readonly lost: Amount;
  /** U (95 %) in litres; 0 where none is stated. */
  readonly expandedLitres: Decimal;
}

/** Losses of one kind and category with what is beyond the allowance. */
export interface ChargeableGroup {
  readonly rule: ChargeableLoss;
  readonly category: string;
  readonly losses: readonly Loss[];
  readonly lost: Decimal;
  readonly allowanceBase: Decimal;
  readonly allowance: Decimal;
  readonly chargeable: Decimal;
  /** Litres of each loss that are chargeable, in the order of the losses. */
  readonly shares: readonly Decimal[];
}

type Entries = Pick<ReportInput, 'listed' | 'differences' | 'period' | 'opening' | 'flows'>;

/** Each event on a loss line with its reversals, where anything is left. */
function lossesIn({ listed, period }: Entries): Loss[] {
  const events = grouped(
    listed.filter(({ kind, dutyStatus }) => kind !== 'produced' && kind !== 'earlier-period' && dutyStatus !== 'paid'),
    (row) => [row.reverses ?? row.operationId, row.kind, row.category, row.packagedLotId, row.compositionId].join('/'),
  );
  return [...events.values()].map((rows) => {
    const [first] = rows;
    const effect = rows.reduce((sum, row) => plus(sum, amount(row.litres, row.fermented, row.added)), NOTHING);
    return {
      operationId: first.operationId,
      line: first.kind,
      category: first.category,
      day: localDay(first.occurredAt, period.timeZone),
      compositionId: first.compositionId,
      packagedLotId: first.packagedLotId,
      reasonCode: first.reasonCode,
      lost: negated(effect),
      // An event and its reversals have the same origins; where only a part was reversed, that of the event is the largest.
      expandedLitres: Exact.max(...rows.map(({ expandedLitres }) => expandedLitres)),
    };
  });
}

/** A shortage less what is set off against the surplus, as far as that still stands. @param standing differences in litres, by operation */
function shortOf(row: DifferenceRow, standing: ReadonlyMap<string, Decimal>): Amount {
  const lost = negated(amount(row.litres, row.fermented, row.added));
  const surplus = standing.get(row.offset?.operationId ?? '');
  if (row.offset === null || surplus === undefined || !lost.litres.greaterThan(0)) {
    return lost;
  }
  const offset = Exact.max(0, Exact.min(surplus, litresOf(row.offset.litres)));
  return drawnFrom(lost, Exact.max(0, lost.litres.minus(offset)));
}

const shortagesIn = ({ differences, period }: Entries): Loss[] => {
  const standing = new Map(differences.map(({ operationId, litres }) => [operationId, new Exact(litres)]));
  return differences
    .filter(({ dutyStatus }) => dutyStatus !== 'paid')
    .map((row) => ({
      operationId: row.operationId,
      line: 'stock-difference',
      category: row.category,
      day: localDay(row.occurredAt, period.timeZone),
      compositionId: row.compositionId,
      packagedLotId: row.packagedLotId,
      reasonCode: row.reasonCode,
      lost: shortOf(row, standing),
      expandedLitres: new Exact(row.expandedLitres),
    }));
};

/** Litres under suspension that a category opened with and that came in by lines; corrections of earlier periods are not of this one. */
export function allowanceBaseOf({ opening, flows }: Pick<ReportInput, 'opening' | 'flows'>, category: string): Decimal {
  const into = flows
    .filter((row) => row.category === category && row.dutyStatus !== 'paid' && row.kind !== 'earlier-period')
    .map((row) => new Exact(row.litres))
    .filter((litres) => litres.greaterThan(0));
  return sumOf([opening.byCategory.get(statusKey(category, 'suspended'))?.amount.litres ?? new Exact(0), ...into]);
}

/** Shares of litres in proportion, six places, half-even; the last takes the rest. */
function shared(total: Decimal, losses: readonly Loss[]): Decimal[] {
  const all = sumOf(losses.map(({ lost }) => lost.litres));
  let left = total;
  return losses.map(({ lost }, index) => {
    const share = index === losses.length - 1 ? left : toPlaces6HalfEven(total.times(lost.litres).dividedBy(all));
    left = left.minus(share);
    return share;
  });
}

const isFree = ({ freeReasons = [] }: ChargeableLoss, reasonCode: string | null): boolean =>
  reasonCode !== null && freeReasons.includes(reasonCode);

/** Losses and shortages that the rules make chargeable, with what is allowed. A surplus never counts against a shortage. */
export function chargeableGroups(input: Entries, rules: readonly ChargeableLoss[]): ChargeableGroup[] {
  const all = [...lossesIn(input), ...shortagesIn(input)].filter(({ lost }) => lost.litres.greaterThan(0));
  return rules.flatMap((rule) => {
    const counted = all.filter(({ line, reasonCode }) => line === rule.line && !isFree(rule, reasonCode));
    return [...grouped(counted, ({ category }) => category)].map(([category, losses]) => {
      const lost = sumOf(losses.map((each) => each.lost.litres));
      const allowanceBase = allowanceBaseOf(input, category);
      const allowance = toPlaces6HalfEven(allowanceBase.times(rule.allowance?.value ?? 0).dividedBy(100));
      const chargeable = Exact.max(0, lost.minus(allowance));
      return { rule, category, losses, lost, allowanceBase, allowance, chargeable, shares: shared(chargeable, losses) };
    });
  });
}

/** Pure alcohol of so many litres of a loss, at the strength that the books had. */
export const alcoholOf = ({ lost }: Loss, litres: Decimal): Decimal =>
  litres.equals(lost.litres)
    ? pureAlcohol(lost)
    : toPlaces6HalfEven(pureAlcohol(lost).times(litres).dividedBy(lost.litres));
