import type { DutyStatus } from '../../ledger/books/account.js';
import type { FieldError } from '../../platform/problems/problem.exception.js';
import type { WireQuantity } from '../../production/shared/event.dto.js';
import { malformed } from '../../production/shared/references.js';

/** Packed: full containers of one packaged lot, or the measured volume of containers that are part full. */
export interface Packed {
  readonly packagedLotId: string;
  readonly count: number | undefined;
  readonly volume: WireQuantity | undefined;
  /** The premises where it was packed if left out. */
  readonly premisesId: string | undefined;
  readonly dutyStatus: DutyStatus;
  /** The request names the duty status; else it follows the goods. */
  readonly isStatusGiven: boolean;
}

/** Bulk: a volume of a lot out of a vessel. */
export interface Bulk {
  readonly lotId: string;
  readonly vesselId: string;
  readonly volume: WireQuantity;
}

export type Goods = Packed | Bulk;

/** A volume of a material lot. */
export interface MaterialDraw {
  readonly materialLotId: string;
  readonly volume: WireQuantity;
}

/** Properties by which a request names goods. */
export interface GoodsBody {
  readonly packagedLotId?: string;
  readonly count?: number;
  readonly lotId?: string;
  readonly vesselId?: string;
  readonly volume?: WireQuantity;
  readonly premisesId?: string;
  readonly dutyStatus?: DutyStatus;
}

export const isPacked = (goods: Goods): goods is Packed => 'packagedLotId' in goods;

const WAYS = 'Give packagedLotId and count, packagedLotId and volume, or lotId, vesselId and volume.';
const missing = (pointer: string): FieldError => ({ pointer, rule: 'required', detail: WAYS });

/**
 * A volume of a material lot, where the body names one.
 *
 * @throws ProblemException `validation-failed` beside packed goods or bulk, without a volume, or with what is of packed goods only
 */
export function materialDrawOf(body: GoodsBody & { readonly materialLotId?: string }): MaterialDraw | undefined {
  const { materialLotId, volume, packagedLotId, count, lotId, vesselId, premisesId, dutyStatus } = body;
  if (materialLotId === undefined) {
    return undefined;
  }
  const goods = Object.entries({ packagedLotId, count, lotId, vesselId }).find(([, value]) => value !== undefined);
  if (goods !== undefined) {
    const detail = 'A material lot goes by itself: give materialLotId and volume.';
    throw malformed({ pointer: `/${goods[0]}`, rule: 'one-of-two', detail });
  }
  const packedOnly = Object.entries({ premisesId, dutyStatus }).find(([, value]) => value !== undefined);
  if (packedOnly !== undefined) {
    const detail =
      'Only of packed goods; a material lot stands where it came in, with the duty status that it came in with.';
    throw malformed({ pointer: `/${packedOnly[0]}`, rule: 'packed-only', detail });
  }
  if (volume === undefined) {
    throw malformed({ pointer: '/volume', rule: 'required', detail: 'Give materialLotId and volume.' });
  }
  return { materialLotId, volume };
}

/** Reads the goods that a request names: packed goods or bulk. @throws ProblemException `validation-failed` for none, several or half of one */
export function goodsOf(body: GoodsBody): Goods {
  const { packagedLotId, count, lotId, vesselId, volume, premisesId, dutyStatus } = body;
  const inPacked = packagedLotId !== undefined || count !== undefined;
  const inBulk = lotId !== undefined || vesselId !== undefined;
  if (inPacked && inBulk) {
    throw malformed({ pointer: '', rule: 'one-of-two', detail: WAYS });
  }
  if (inBulk || (volume !== undefined && !inPacked)) {
    if (lotId === undefined || vesselId === undefined || volume === undefined) {
      const absent = Object.entries({ lotId, vesselId, volume }).filter(([, value]) => value === undefined);
      throw malformed(...absent.map(([name]) => missing(`/${name}`)));
    }
    const packedOnly = Object.entries({ premisesId, dutyStatus }).find(([, value]) => value !== undefined);
    if (packedOnly !== undefined) {
      const detail = 'Only of packed goods; what is in a vessel stands where the vessel stands.';
      throw malformed({ pointer: `/${packedOnly[0]}`, rule: 'packed-only', detail });
    }
    return { lotId, vesselId, volume };
  }
  return packedOf({ packagedLotId, count, volume, premisesId, dutyStatus });
}

/** Packed goods by count or by measured volume. @throws ProblemException `validation-failed` for none or both */
export function packedOf(body: Omit<GoodsBody, 'lotId' | 'vesselId'>): Packed {
  const { packagedLotId, count, volume, premisesId, dutyStatus } = body;
  if (packagedLotId === undefined) {
    throw malformed(missing('/packagedLotId'));
  }
  if (count === undefined && volume === undefined) {
    throw malformed(missing('/count'));
  }
  if (count !== undefined && volume !== undefined) {
    throw malformed({ pointer: '/volume', rule: 'one-of-two', detail: WAYS });
  }
  return {
    packagedLotId,
    count,
    volume,
    premisesId,
    dutyStatus: dutyStatus ?? 'suspended',
    isStatusGiven: dutyStatus !== undefined,
  };
}
