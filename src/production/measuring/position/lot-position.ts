import type { ExtractShares } from '../../../alcoholometry/strength/composition.js';
import type { Gravity } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { CompositionRow } from '../../lots/compositions/composition.reader.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import type { VesselLiquid } from '../volumes/measured-volume.js';

/** One composition of a lot with its stock and its findings. */
export interface CompositionPosition {
  readonly composition: CompositionRow;
  /** Its liquid accounts, empty ones too. */
  readonly accounts: readonly StockAccount[];
  /** Oldest first. */
  readonly findings: readonly FindingRow[];
  /** The finding of record, or the latest that restates it. */
  readonly ofRecord: FindingRow | undefined;
  /** The last of record, reversed or not: what a new one restates. */
  readonly lastOfRecordId: string | undefined;
  /** The latest provisional finding. */
  readonly provisional: FindingRow | undefined;
}

/** State of a lot: its compositions with their stock and findings. */
export interface LotPosition {
  readonly lot: {
    readonly id: string;
    readonly code: string;
    readonly premisesId: string;
    readonly category: string;
    /** null for the producer's own. */
    readonly owner: string | null;
    readonly recipeId: string | undefined;
    /** sugar-wash, malt or spirit-based; undefined without a recipe. */
    readonly recipeKind: string | undefined;
    /** Sugars in the extract of the plan. */
    readonly shares: ExtractShares | undefined;
    readonly expectedExtractPlato: number | undefined;
    /** Of the plan. */
    readonly expectedFinalGravity: Gravity | undefined;
  };
  readonly compositions: readonly CompositionPosition[];
}

export const inStock = ({ accounts }: CompositionPosition): StockAccount[] =>
  accounts.filter(({ balance }) => balance.litres.greaterThan(0));

/** A composition is in process until a finding of record declares it finished. */
export const isInProcess = (position: CompositionPosition): boolean => position.ofRecord === undefined;

/** Kind of liquid, for its thermal expansion. `apparentExtractPlato` is used while there is no finding. */
export function liquidOf(position: CompositionPosition, apparentExtractPlato: number): VesselLiquid {
  const finding = position.ofRecord ?? position.provisional;
  if (finding === undefined) {
    return { kind: 'wort', extractPlato: apparentExtractPlato };
  }
  const account = inStock(position).at(0);
  const strength = account === undefined ? undefined : bookStrengthPercent(account.balance);
  return {
    kind: 'drink',
    strengthPercent: strength ?? finding.strengthPercent,
    extractPlato: finding.realExtractPlato ?? 0,
  };
}
