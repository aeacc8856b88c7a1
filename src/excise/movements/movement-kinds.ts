import type { ContainerEvent } from '../../production/operations/containers/container-events.js';
import type { ReasonNeed } from '../../tenancy/reasons/reason-codes.js';
import { NEED_WORDS as REASON_NEED_WORDS } from '../../tenancy/reasons/reason.rules.js';
import type { NominalKind } from '../../ledger/books/account.js';

/**
 * Kinds of movement out of stock and back, and what each kind asks for. Source: test/reference/excise/movement-kinds.csv (a comparison of guides, forms and
 * acts of seven countries; its rows are named in `reference`). Where the countries differ the table takes what most of them ask for; a
 * producer's own rules come with the rule sets. Nothing here is legal advice.
 */
export const MOVEMENT_KINDS = [
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
  'yeast-and-trub',
  'evaporation',
  'filtering-loss',
  'return',
] as const;
export type MovementKind = (typeof MOVEMENT_KINDS)[number];

/** Properties that a kind of movement may require, by their names in the request. */
export type Need = ReasonNeed | 'reasonCode' | 'counterparty' | 'evidence/document';

export interface MovementRule {
  readonly nominal: NominalKind;
  /** Duty falls due by it always (`point`), never (`none`), or according to the country (`depends`). */
  readonly duty: 'point' | 'none' | 'depends';
  /** Bulk from a vessel, from a serving tank with a declared strength, or only what is packed. */
  readonly takes: 'packed' | 'bulk' | 'packed-or-serving' | 'packed-or-bulk';
  readonly needs: readonly Need[];
  /** Row of the comparison. */
  readonly reference: string;
}

export const MOVEMENT_RULES: Readonly<Record<MovementKind, MovementRule>> = {
  release: {
    nominal: 'released',
    duty: 'point',
    takes: 'packed-or-serving',
    needs: [],
    reference: 'released_for_consumption',
  },
  'dispatch-suspended': {
    nominal: 'dispatched-suspended',
    duty: 'none',
    takes: 'packed-or-bulk',
    needs: ['counterparty', 'evidence/document'],
    reference: 'dispatched_suspended',
  },
  export: {
    nominal: 'exported',
    duty: 'none',
    takes: 'packed-or-bulk',
    needs: ['evidence/document'],
    reference: 'exported',
  },
  sample: { nominal: 'samples', duty: 'none', takes: 'packed-or-bulk', needs: [], reference: 'lab_sample' },
  'own-use': {
    nominal: 'own-use',
    duty: 'point',
    takes: 'packed-or-serving',
    needs: [],
    reference: 'sold_or_drunk_on_premises',
  },
  'process-loss': {
    nominal: 'process-loss',
    duty: 'none',
    takes: 'packed-or-bulk',
    needs: [],
    reference: 'process_loss',
  },
  'packaging-loss': {
    nominal: 'packaging-loss',
    duty: 'none',
    takes: 'packed-or-bulk',
    needs: [],
    reference: 'process_loss',
  },
  'accidental-loss': {
    nominal: 'accidental-loss',
    duty: 'none',
    takes: 'packed-or-bulk',
    needs: ['occurredAt', 'reasonCode'],
    reference: 'accidental_loss',
  },
  theft: {
    nominal: 'theft',
    duty: 'depends',
    takes: 'packed-or-bulk',
    needs: ['occurredAt', 'reasonCode', 'evidence/report'],
    reference: 'theft',
  },
  'transit-loss': {
    nominal: 'transit-loss',
    duty: 'depends',
    takes: 'packed-or-bulk',
    needs: ['reasonCode', 'evidence/document'],
    reference: 'transit_loss',
  },
  destruction: {
    nominal: 'destroyed',
    duty: 'none',
    takes: 'packed-or-bulk',
    needs: ['occurredAt', 'reasonCode', 'evidence/method', 'witness'],
    reference: 'destroyed_suspended',
  },
  'yeast-and-trub': {
    nominal: 'yeast-and-trub',
    duty: 'none',
    takes: 'bulk',
    needs: [],
    reference: 'process_loss',
  },
  evaporation: { nominal: 'evaporation', duty: 'none', takes: 'bulk', needs: [], reference: 'process_loss' },
  'filtering-loss': { nominal: 'process-loss', duty: 'none', takes: 'bulk', needs: [], reference: 'process_loss' },
  return: {
    nominal: 'returned',
    duty: 'depends',
    takes: 'packed',
    needs: ['counterparty'],
    reference: 'returned_to_stock',
  },
};

const NEED_WORDS: Readonly<Record<Need, string>> = {
  ...REASON_NEED_WORDS,
  reasonCode: 'Give the reason in reasonCode: a code of GET /v1/reason-codes, for example "breakage".',
  counterparty: 'Name who receives the goods, or who sent them back.',
  'evidence/document': 'Give in evidence.document the number of the document that goes with the goods.',
};

export interface MissingNeed {
  readonly pointer: string;
  readonly detail: string;
}

/** Lists the properties that a kind requires and the request lacks. */
export function missingNeeds(kind: MovementKind, has: (need: Need) => boolean): MissingNeed[] {
  return MOVEMENT_RULES[kind].needs
    .filter((need) => !has(need))
    .map((need) => ({ pointer: `/${need}`, detail: NEED_WORDS[need] }));
}

/** Event of a container with a serial that a kind of movement causes: it goes out, comes back, or stays here empty. */
export function containerEventOf(kind: MovementKind): ContainerEvent {
  if (kind === 'return') {
    return 'back';
  }
  return WITH_CONTAINER.includes(kind) ? 'out' : 'emptied';
}

const WITH_CONTAINER: readonly MovementKind[] = ['release', 'dispatch-suspended', 'export', 'theft', 'transit-loss'];

/**
 * Kinds by which a material lot may go: what happens to liquid in the container that it came in. What is of a cellar, of a packing run or of
 * packed goods is not; released is only what duty was paid on before.
 */
export const MATERIAL_KINDS: readonly MovementKind[] = [
  'release',
  'dispatch-suspended',
  'export',
  'sample',
  'process-loss',
  'accidental-loss',
  'theft',
  'transit-loss',
  'destruction',
  'evaporation',
];

/** Kinds by which duty always falls due: their lines of the report are tied to what is chargeable. */
export const DUTY_POINT_KINDS: readonly MovementKind[] = MOVEMENT_KINDS.filter(
  (kind) => MOVEMENT_RULES[kind].duty === 'point',
);
