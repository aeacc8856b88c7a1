import type { Owner } from './owners.js';
import type { Duty, Site } from './words.js';

// What can be asked for; amounts as texts of decimals, times in hours from the start of the first period.

interface At {
  readonly at: number;
}
interface InVessel extends At {
  readonly lot: string;
  readonly vessel: string;
}
interface OfPackaged extends At {
  readonly packaged: string;
  readonly count: number;
}
interface Stands {
  readonly site: Site;
  readonly duty: Duty;
}

interface BySerial {
  /** Of containers that are part full, in place of their count. */
  readonly litres?: string;
  readonly serials?: readonly string[];
}

export interface Charge extends InVessel {
  readonly kind: 'charge';
  readonly litres: string;
}
export interface Receipt extends At {
  readonly kind: 'receipt';
  readonly owner: Owner;
  readonly duty: Duty;
  readonly litres: string;
  readonly strength: string;
}
export interface Spirit extends InVessel {
  readonly kind: 'spirit';
  readonly spirits: readonly { readonly material: string; readonly litres: string }[];
  readonly water: string;
}
export interface Find extends At {
  readonly kind: 'find';
  readonly standing: 'of-record' | 'provisional';
  readonly lot: string;
  readonly composition: string;
  readonly strength: string;
}
export interface Gauge extends InVessel {
  readonly kind: 'gauge';
  readonly litres: string;
  /** Whether it says why it differs from the books. */
  readonly reason?: boolean;
}
export interface Transfer extends At {
  readonly kind: 'transfer';
  readonly lot: string;
  readonly from: string;
  readonly to: string;
  readonly litres: string;
  readonly loss: string;
}
export interface Dilute extends InVessel {
  readonly kind: 'dilute';
  readonly water: string;
}
export interface Blend extends InVessel {
  readonly kind: 'blend';
  /** All that is in the vessel where no litres are given. */
  readonly components: readonly { readonly vessel: string; readonly litres?: string }[];
  readonly wash?: { readonly litres: string; readonly plato: number };
  readonly water?: string;
}
/** What goes into a vessel: water, a syrup, what bears alcohol by the litre; sugar and finings by the kilogram. */
export type Added =
  | { readonly what: 'chase-water'; readonly litres: string }
  | { readonly what: 'syrup'; readonly owner: Owner; readonly litres: string; readonly plato: number }
  | { readonly what: 'alcohol'; readonly material: string; readonly litres: string }
  | { readonly what: 'sugar'; readonly owner: Owner; readonly kilograms: string }
  | { readonly what: 'fining'; readonly owner: Owner; readonly kilograms: string };
export interface Add extends InVessel {
  readonly kind: 'add';
  readonly added: Added;
}
export interface Split extends At {
  readonly kind: 'split';
  readonly lot: string;
  readonly newLot: string;
  readonly from: string;
  readonly to: string;
  readonly litres?: string;
}
export interface Crop extends InVessel {
  readonly kind: 'crop';
  readonly litres: string;
}
export interface Pack extends InVessel {
  readonly kind: 'pack';
  readonly count: number;
  readonly nominal: string;
  /** Mean fill, where it is not the nominal volume. */
  readonly fill?: string;
  readonly loss?: string;
  readonly sugarGramsPerLitre?: number;
  readonly serials?: readonly string[];
  readonly reason?: boolean;
}
export interface Repack extends OfPackaged {
  readonly kind: 'repack';
  readonly nominal: string;
  readonly filled: number;
}
export interface Relabel extends OfPackaged {
  readonly kind: 'relabel';
  readonly category?: string;
}
export interface Rework extends OfPackaged, BySerial {
  readonly kind: 'rework';
  readonly lot: string;
  readonly vessel: string;
  readonly loss: string;
}
export const BULK_MOVES = [
  'dispatch-suspended',
  'export',
  'sample',
  'process-loss',
  'packaging-loss',
  'accidental-loss',
  'theft',
  'transit-loss',
  'destruction',
  'yeast-and-trub',
  'evaporation',
  'filtering-loss',
  'own-use',
] as const;
export const PACKED_MOVES = [
  'release',
  'dispatch-suspended',
  'export',
  'sample',
  'own-use',
  'process-loss',
  'packaging-loss',
  'accidental-loss',
  'theft',
  'transit-loss',
  'destruction',
] as const;
/** Ways that a material lot can go whatever its duty but the first, and ways that it cannot; what is paid is released. */
export const MATERIAL_MOVES = [
  'dispatch-suspended',
  'export',
  'sample',
  'process-loss',
  'accidental-loss',
  'theft',
  'transit-loss',
  'destruction',
  'evaporation',
] as const;
export const NOT_OF_MATERIALS = ['own-use', 'packaging-loss', 'filtering-loss', 'yeast-and-trub'] as const;
export interface MoveMaterial extends At {
  readonly kind: 'move-material';
  readonly way: (typeof MATERIAL_MOVES)[number] | 'release' | (typeof NOT_OF_MATERIALS)[number];
  readonly material: string;
  readonly litres: string;
  readonly explains?: string;
}
export interface CountMaterial extends At {
  readonly kind: 'count-material';
  readonly material: string;
  readonly litres: string;
}
/** A count or a write-off of a material lot without alcohol. */
export interface PlainEntry extends At {
  readonly kind: 'plain-entry';
  readonly stuff: 'sugar' | 'fining' | 'syrup';
  readonly owner: Owner;
  readonly what: 'counted' | 'written-off';
  readonly quantity: string;
}
export interface MoveBulk extends InVessel {
  readonly kind: 'move-bulk';
  readonly way: (typeof BULK_MOVES)[number];
  readonly litres: string;
  readonly explains?: string;
}
export interface MovePacked extends OfPackaged, Stands, BySerial {
  readonly kind: 'move-packed';
  readonly way: (typeof PACKED_MOVES)[number];
  readonly explains?: string;
}
export interface Return extends OfPackaged, Stands, BySerial {
  readonly kind: 'return';
}
/** Kegs that come back empty. */
export interface Empties extends At {
  readonly kind: 'empties';
  readonly site: Site;
  readonly serials: readonly string[];
}
export interface Count extends OfPackaged, Stands {
  readonly kind: 'count';
  readonly serials?: readonly string[];
}
export interface CountBulk extends InVessel {
  readonly kind: 'count-bulk';
  readonly litres: string;
}
export interface Send extends OfPackaged {
  readonly kind: 'send';
  readonly serials?: readonly string[];
  readonly duty: Duty;
  readonly from: Site;
  readonly to: Site;
}
export interface Arrive extends At {
  readonly kind: 'arrive';
  readonly transit: string;
  readonly count: number;
  readonly serials?: readonly string[];
}
/** Bulk to the other premises, and what of it arrives there: into a vessel, under a lot of those premises. */
export interface SendBulk extends InVessel {
  readonly kind: 'send-bulk';
  readonly litres: string;
  readonly to: Site;
}
export interface ArriveBulk extends InVessel {
  readonly kind: 'arrive-bulk';
  readonly transit: string;
  readonly litres: string;
}
export interface Opening extends At {
  readonly kind: 'opening';
  readonly liquid?: {
    readonly lot: string;
    readonly vessel: string;
    readonly litres: string;
    readonly strength?: string;
    readonly addedShare: string;
  };
  readonly packaged: {
    readonly lot: string;
    readonly count: number;
    readonly nominal: string;
    readonly strength: string;
  };
}
interface Reverse {
  readonly kind: 'reverse';
  readonly operation: string;
}
interface Close {
  readonly kind: 'close';
  readonly site: Site;
  readonly period: 1 | 2;
}
/** A reading of a sample, or of a thermometer in the vessel. */
export interface Read extends InVessel {
  readonly kind: 'read';
  readonly what: 'ph' | 'temperature';
}
export interface Strike {
  readonly kind: 'strike';
  readonly reading: string;
}
/** What the readings of a day took out; days from the start of the first period. */
export interface SampleDay {
  readonly kind: 'sample-day';
  readonly day: number;
}
export type Beside = Read | Strike | SampleDay;
/** What happened instead of an operation: that one is reversed and this one entered, both or neither. */
export interface Correct {
  readonly kind: 'correct';
  readonly operation: string;
  readonly by: MoveBulk | MovePacked | MoveMaterial | Pack | Transfer;
}

/** A value of an operation as it should have been entered; of an opening, of its liquid or of what was packed. */
export interface Differ {
  readonly kind: 'differ';
  readonly operation: string;
  readonly item?: 'liquid' | 'packed';
  readonly value: 'volume' | 'strength' | 'count' | 'loss';
  readonly right: string;
}

export type Event =
  | Charge
  | Receipt
  | Spirit
  | Find
  | Gauge
  | Transfer
  | Dilute
  | Blend
  | Add
  | Split
  | Crop
  | Pack
  | Repack
  | Relabel
  | Rework
  | MoveBulk
  | MovePacked
  | MoveMaterial
  | CountMaterial
  | PlainEntry
  | Return
  | Count
  | CountBulk
  | Send
  | Arrive
  | Empties
  | SendBulk
  | ArriveBulk
  | Opening;
export type Step = Event | Beside | Reverse | Close | Correct | Differ;
