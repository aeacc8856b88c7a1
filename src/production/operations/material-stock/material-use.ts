import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';
import { groupedNumber } from '../../../platform/words.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import { isMassUnit } from '../../shared/mass-or-volume.js';
import type { Flag } from '../../shared/flag.dto.js';
import type { MaterialOnHand } from './material-stock.reader.js';

/** A quantity that is taken from a material lot. */
export interface MaterialUse {
  readonly materialLotId: string;
  readonly quantity: Quantity;
}

export interface MaterialUsed {
  readonly rows: readonly RowOf<'materialEntry'>[];
  readonly flags: readonly Flag[];
}

/** A quantity in the unit of the lot, to six places; undefined where one is a mass and the other a volume. */
export function inUnitOf({ unit }: MaterialOnHand, quantity: Quantity): Decimal | undefined {
  if (isMassUnit(quantity.unit) !== (unit === 'kg')) {
    return undefined;
  }
  return unit === 'kg'
    ? new Exact(toBase('mass', quantity)).toDecimalPlaces(6)
    : new Exact(toBookLitres(quantity).litres);
}

export const quantityText = (quantity: Decimal, unit: string): string => `${groupedNumber(quantity.toFixed())} ${unit}`;

/** Doubt about a lot of which more was taken than it had. */
export const belowZeroFlag = ({ id, code, unit }: MaterialOnHand, onHand: Decimal): Flag => ({
  code: 'stock-below-zero',
  detail: `By the entries ${quantityText(onHand, unit)} of ${code} are on hand: more was taken than it had. Check the quantity and the lot; a count (POST /v1/material-lots/${id}/counts) puts it right.`,
});

const otherUnitFlag = ({ id, code, unit }: MaterialOnHand): Flag => ({
  code: 'material-not-counted',
  detail: `${code} is kept in ${unit}, and what was taken is given otherwise, so that its quantity on hand stays as it is. Write it off by hand: POST /v1/material-lots/${id}/write-offs.`,
});

/** Entries of what an operation takes from material lots that the books do not hold, with the doubts. One entry a lot. */
export function materialUsed(
  operationId: string,
  uses: readonly MaterialUse[],
  onHand: ReadonlyMap<string, MaterialOnHand>,
): MaterialUsed {
  const rows: RowOf<'materialEntry'>[] = [];
  const flags: Flag[] = [];
  for (const lot of onHand.values()) {
    const taken = uses
      .filter(({ materialLotId }) => materialLotId === lot.id)
      .map(({ quantity }) => inUnitOf(lot, quantity));
    const counted = taken.filter((each) => each !== undefined);
    if (counted.length < taken.length) {
      flags.push(otherUnitFlag(lot));
    }
    if (counted.length > 0) {
      const sum = counted.reduce((total, each) => total.plus(each), new Exact(0));
      const rest = lot.onHand.minus(sum);
      rows.push({ operationId, materialLotId: lot.id, kind: 'used', quantity: sum.toFixed() });
      flags.push(...(rest.isNegative() ? [belowZeroFlag(lot, rest)] : []));
    }
  }
  return { rows, flags };
}
