import { createHash } from 'node:crypto';
import type { RowOf } from '../../tenancy/producer-database/batch.js';

export type DutyStatus = 'suspended' | 'paid';
export type Stage = 'materials' | 'cellar' | 'racking' | 'keg' | 'bottling' | 'packed';

/** Kinds of nominal account, the other side of every stock posting. Each kind is a line of the period report. */
export const NOMINAL_KINDS = [
  'opening',
  'receipts',
  'received-suspended',
  'imported',
  'received-duty-paid',
  'production-in-process',
  'fermentation',
  'fermentation-volume-change',
  'produced',
  'liquid-added',
  'solids-dissolved',
  'mixing-volume-change',
  're-measurement',
  'fill-difference',
  'yeast-and-trub',
  'evaporation',
  'released',
  'dispatched-suspended',
  'exported',
  'returned',
  'samples',
  'own-use',
  'process-loss',
  'packaging-loss',
  'accidental-loss',
  'theft',
  'transit-loss',
  'destroyed',
  'stock-difference',
  'category-moves',
  'premises-moves',
  'used-as-material',
  'earlier-period',
] as const;
export type NominalKind = (typeof NOMINAL_KINDS)[number];

/** Goods that a posting is about. */
export interface Subject {
  readonly category: string;
  readonly lotId?: string;
  readonly compositionId?: string;
  readonly packagedLotId?: string;
  readonly materialLotId?: string;
}

/** The key of an account; two writers that name the same key name the same account. */
export interface AccountKey {
  readonly side: 'stock' | 'nominal';
  readonly kind: string;
  readonly premisesId: string;
  readonly owner: string;
  readonly dutyStatus: DutyStatus;
  readonly stage?: Stage;
  readonly category?: string;
  readonly compositionId?: string;
  readonly vesselId?: string;
  readonly materialLotId?: string;
  readonly packagedLotId?: string;
  readonly transitId?: string;
}

/** Owner of the producer's own stock. Any other owner is the name of a business for which stock is held. */
export const OWN = 'own';

export interface Place {
  readonly premisesId: string;
  /** Name of the owner; the producer itself if left out or null. */
  readonly owner?: string | null;
  readonly dutyStatus?: DutyStatus;
}

const placed = ({ premisesId, owner, dutyStatus = 'suspended' }: Place) => ({
  premisesId,
  owner: owner ?? OWN,
  dutyStatus,
});

export const liquidAccount = (
  place: Place,
  compositionId: string,
  vesselId: string,
  stage: Stage = 'cellar',
): AccountKey => ({
  side: 'stock',
  kind: 'liquid',
  ...placed(place),
  stage,
  compositionId,
  vesselId,
});

export const packagedAccount = (place: Place, packagedLotId: string): AccountKey => ({
  side: 'stock',
  kind: 'packaged',
  ...placed(place),
  stage: 'packed',
  packagedLotId,
});

/** Goods on their way to other premises: still the sender's, each consignment by itself. */
export const transitAccount = (place: Place, packagedLotId: string, transitId: string): AccountKey => ({
  side: 'stock',
  kind: 'in-transit',
  ...placed(place),
  stage: 'packed',
  packagedLotId,
  transitId,
});

/** Bulk of a composition on its way to other premises. */
export const bulkTransitAccount = (place: Place, compositionId: string, transitId: string): AccountKey => ({
  side: 'stock',
  kind: 'in-transit',
  ...placed(place),
  stage: 'cellar',
  compositionId,
  transitId,
});

export const materialAccount = (place: Place, materialLotId: string): AccountKey => ({
  side: 'stock',
  kind: 'material',
  ...placed(place),
  stage: 'materials',
  materialLotId,
});

export const nominalAccount = (place: Place, kind: NominalKind, category: string): AccountKey => ({
  side: 'nominal',
  kind,
  ...placed(place),
  category,
});

/** The key as one readable line; problems name accounts by it. */
export const accountLine = (key: AccountKey): string =>
  [
    key.side,
    key.kind,
    key.premisesId,
    encodeURIComponent(key.owner),
    key.dutyStatus,
    key.stage,
    key.category === undefined ? undefined : encodeURIComponent(key.category),
    key.compositionId,
    key.vesselId,
    key.materialLotId,
    key.packagedLotId,
    key.transitId,
  ]
    .filter((part) => part !== undefined)
    .join('/');

/** An account's id follows from its key (SHA-256, as a version 8 UUID), so no look-up stands before a posting. */
export function accountId(key: AccountKey): string {
  const bytes = createHash('sha256').update(accountLine(key)).digest().subarray(0, 16);
  bytes[6] = (bytes[6] & 0x0f) | 0x80;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  return bytes.toString('hex').replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

export const accountRow = (key: AccountKey): RowOf<'account'> => ({
  id: accountId(key),
  key: accountLine(key),
  side: key.side,
  kind: key.kind,
  premisesId: key.premisesId,
  approval: null,
  owner: key.owner,
  dutyStatus: key.dutyStatus,
  stage: key.stage ?? null,
  category: key.category ?? null,
  compositionId: key.compositionId ?? null,
  vesselId: key.vesselId ?? null,
  materialLotId: key.materialLotId ?? null,
  packagedLotId: key.packagedLotId ?? null,
  transitId: key.transitId ?? null,
});
