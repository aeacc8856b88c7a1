import type { Genealogy, GenealogyOperation, Place } from '../../../ledger/genealogy/genealogy.reader.js';
import type { Route } from '../../../ledger/genealogy/flow.js';
import { ENDED, follow } from '../../../ledger/genealogy/tracer.js';
import type { LineSubject, AffectedOutflow, AffectedStock } from './restatement.dto.js';

/** Litres of one liquid by the account where they are now, and by the operation with which they went out. */
export interface Propagation {
  readonly inStock: readonly { readonly place: Place; readonly litres: number }[];
  readonly outflows: readonly {
    readonly operation: GenealogyOperation;
    readonly kind: string;
    readonly account: string;
    readonly litres: number;
  }[];
  /** By composition: litres of it in a litre, and the litres there were, when the composition first took it in. */
  readonly derived: ReadonlyMap<string, { readonly share: number; readonly litres: number }>;
}

export interface PropagationStart {
  /** The operation from which on it counts. */
  readonly since: string;
  /** All in these accounts after it; or this much in each. */
  readonly accounts: ReadonlySet<string>;
  readonly litres?: number;
  /** Accounts of liquid that was measured on its own since: it ends there. */
  readonly ends?: ReadonlySet<string>;
  readonly route?: (operation: GenealogyOperation) => Route;
}

const TRACER = 'it';

/** Follows the liquid of accounts from an operation on. */
export function propagation({ operations, places }: Genealogy, from: PropagationStart): Propagation {
  const derived = new Map<string, { share: number; litres: number }>();
  let begun = false;
  const followed = follow(operations, {
    route: from.route,
    ends: from.ends,
    after: (step) => {
      const begins = step.operation.id === from.since;
      begun ||= begins;
      if (!begun) {
        return [];
      }
      for (const [account, amounts] of step.received) {
        const compositionId = places.get(account)?.key.compositionId;
        const amount = amounts.get(TRACER) ?? 0;
        const litres = step.litresIn(account);
        if (compositionId !== undefined && amount !== 0 && !from.accounts.has(account) && !derived.has(compositionId)) {
          derived.set(compositionId, { share: step.inAccount(account, TRACER) / litres, litres });
        }
      }
      if (from.litres !== undefined) {
        return begins
          ? [...from.accounts].map((account) => ({ account, tracer: TRACER, amount: from.litres ?? 0 }))
          : [];
      }
      return [...from.accounts]
        .map((account) => ({
          account,
          tracer: TRACER,
          amount: Math.max(0, step.litresIn(account) - step.inAccount(account, TRACER)),
        }))
        .filter(({ amount }) => amount > 0);
    },
  });
  const byId = new Map(operations.map((operation) => [operation.id, operation]));
  return {
    derived,
    inStock: [...followed.inStock].flatMap(([account, amounts]) => {
      const place = places.get(account);
      const litres = places9(amounts.get(TRACER) ?? 0);
      return place === undefined || Math.abs(litres) < SMALLEST_L ? [] : [{ place, litres }];
    }),
    outflows: followed.left.flatMap(({ operation, kind, account, amounts }) => {
      const found = byId.get(operation);
      const litres = amounts.get(TRACER) ?? 0;
      const isNone = Math.abs(litres) < SMALLEST_L;
      // What was put right is of the same liquid, but none went anywhere with it.
      return found === undefined || found.kind === 'difference' || isNone
        ? []
        : [{ operation: found, kind, account, litres }];
    }),
  };
}

/** The operation that first put liquid into one of the accounts. */
export const firstInto = ({ operations }: Genealogy, accounts: readonly string[]): string | undefined =>
  operations.find(({ lines }) => lines.some(({ account, litres }) => litres > 0 && accounts.includes(account)))?.id;

/** Half of the books' last place. */
const SMALLEST_L = 5e-7;

/** A thousandth of the last place of the books: what is smaller is the rounding of doubles. */
const places9 = (value: number): number => Math.round(value * 1e9) / 1e9;
const places6 = (value: number): number => Math.round(value * 1e6) / 1e6;

export const subjectOf = (place: Place): LineSubject => ({
  ...(place.lotId === undefined ? {} : { lotId: place.lotId }),
  ...(place.compositionId === undefined ? {} : { compositionId: place.compositionId }),
  ...(place.key.packagedLotId === undefined ? {} : { packagedLotId: place.key.packagedLotId }),
  ...(place.key.materialLotId === undefined ? {} : { materialLotId: place.key.materialLotId }),
});

/** A line of what changed in stock, as answers and documents show it. */
export const stockLine = (place: Place, litres: number, pureAlcohol: number): AffectedStock => ({
  ...subjectOf(place),
  ...(place.key.vesselId === undefined ? {} : { vesselId: place.key.vesselId }),
  volume: { value: places6(litres), unit: 'L' },
  pureAlcohol: { value: places6(pureAlcohol), unit: 'L' },
});

/** Outflows by operation and kind of line, with the change of their alcohol in litres. */
export function outflowLines(
  outflows: Propagation['outflows'],
  alcoholOf: (litres: number) => number,
): AffectedOutflow[] {
  const sums = new Map<string, AffectedOutflow>();
  for (const { operation, kind, litres } of outflows) {
    const line = kind === ENDED ? 'measured-since' : kind;
    const key = `${operation.id} ${line}`;
    const before = sums.get(key)?.volume.value ?? 0;
    sums.set(key, {
      operationId: operation.id,
      kind: line,
      operationKind: operation.kind,
      occurredAt: operation.occurredAt.toISOString(),
      volume: { value: places6(before + litres), unit: 'L' },
      pureAlcohol: { value: places6(alcoholOf(before + litres)), unit: 'L' },
    });
  }
  return [...sums.values()];
}
