import type { DutyStatus } from '../../../ledger/books/account.js';
import type { FieldError } from '../../../platform/problems/problem.exception.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';
import { malformed } from '../../../production/shared/references.js';
import type { VolumeBody } from '../../../production/measuring/volumes/vessel-volume.reader.js';
import type { ProductCount } from './stock-takes.dto.js';

/** Containers of one packaged lot, part-full ones by what they hold. */
export interface PackedCount {
  readonly packagedLotId: string;
  readonly dutyStatus: DutyStatus;
  readonly count: number;
  readonly serials: readonly string[] | undefined;
  readonly partFull: WireQuantity | undefined;
}

/** Volume of one lot in one vessel. */
export interface BulkCount extends VolumeBody {
  readonly lotId: string;
  readonly vesselId: string;
}

/** Volume of one material lot. */
export interface MaterialCount extends VolumeBody {
  readonly materialLotId: string;
}

export type Count = PackedCount | BulkCount | MaterialCount;

export const isPackedCount = (count: Count): count is PackedCount => 'packagedLotId' in count;
export const isMaterialCount = (count: Count): count is MaterialCount => 'materialLotId' in count;

const WAYS = 'Give packagedLotId and count, lotId, vesselId and volume, or materialLotId and volume.';

const errorAt =
  (place: string) =>
  (pointer: string, rule: string, detail = WAYS): FieldError => ({ pointer: `${place}${pointer}`, rule, detail });

function countOf(body: ProductCount, place: string): Count {
  const { packagedLotId, count, dutyStatus, lotId, vesselId, materialLotId } = body;
  const error = errorAt(place);
  const packed = packagedLotId !== undefined || count !== undefined;
  const bulk = lotId !== undefined || vesselId !== undefined;
  const ways = [packed, bulk, materialLotId !== undefined].filter(Boolean).length;
  if (ways !== 1) {
    throw malformed(error('', ways === 0 ? 'required' : 'one-of-two'));
  }
  if (packed) {
    return packedCount(body, place);
  }
  if (dutyStatus !== undefined) {
    throw malformed(error('/dutyStatus', 'packed-only', 'Only of packed goods.'));
  }
  return bulk ? bulkCount(body, place) : materialCount(body, place);
}

function materialCount(body: ProductCount, place: string): MaterialCount {
  const { materialLotId, volume, temperature, instrumentId, standardUncertainty } = body;
  if (materialLotId === undefined || volume === undefined) {
    throw malformed(errorAt(place)('/volume', 'required'));
  }
  return { materialLotId, volume, temperature, instrumentId, standardUncertainty };
}

function bulkCount(body: ProductCount, place: string): BulkCount {
  const { lotId, vesselId, volume, temperature, instrumentId, standardUncertainty } = body;
  if (lotId === undefined || vesselId === undefined || volume === undefined) {
    const absent = Object.entries({ lotId, vesselId, volume }).filter(([, value]) => value === undefined);
    throw malformed(...absent.map(([name]) => errorAt(place)(`/${name}`, 'required')));
  }
  return { lotId, vesselId, volume, temperature, instrumentId, standardUncertainty };
}

function packedCount(body: ProductCount, place: string): PackedCount {
  const { packagedLotId, count, dutyStatus, serials, volume, temperature, instrumentId, standardUncertainty } = body;
  const error = errorAt(place);
  if (packagedLotId === undefined || count === undefined) {
    throw malformed(error(packagedLotId === undefined ? '/packagedLotId' : '/count', 'required'));
  }
  if (serials !== undefined && serials.length !== count) {
    const detail = `${serials.length} serials were given for ${count} containers: give one for each container that was there.`;
    throw malformed(error('/serials', 'one-each', detail));
  }
  const ofBulk = Object.entries({ temperature, instrumentId, standardUncertainty }).find(
    ([, value]) => value !== undefined,
  );
  if (ofBulk !== undefined) {
    const detail = 'Containers are counted; only a vessel or a material is measured.';
    throw malformed(error(`/${ofBulk[0]}`, 'bulk-only', detail));
  }
  return { packagedLotId, count, dutyStatus: dutyStatus ?? 'suspended', serials, partFull: volume };
}

function productOf(count: Count): string {
  if (isMaterialCount(count)) {
    return count.materialLotId;
  }
  return isPackedCount(count) ? `${count.packagedLotId}/${count.dutyStatus}` : count.vesselId;
}

/** The products of a body. @throws ProblemException `validation-failed` for one that is named in no way or in both, and for one that is there twice */
export function countsOf(bodies: readonly ProductCount[]): Count[] {
  const counts = bodies.map((body, index) => countOf(body, `/counts/${index}`));
  const products = counts.map(productOf);
  const twice = products.findIndex((product, index) => products.indexOf(product) < index);
  if (twice >= 0) {
    throw malformed({
      pointer: `/counts/${twice}`,
      rule: 'not-unique',
      detail: 'The product is there twice: count it once, all that there is of it.',
    });
  }
  return counts;
}
