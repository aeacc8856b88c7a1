import type { Explained } from '../../../ledger/corrections/explanations.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import type { CompositionPosition, LotPosition } from './lot-position.js';
import { inStock } from './lot-position.js';

/** A composition in one vessel, with its account there. */
export interface LotInVessel {
  readonly target: CompositionPosition;
  readonly account: StockAccount;
}

/**
 * The liquid of a lot in a vessel, now; or, for an entry that explains a later gauge or count, as it stood then.
 *
 * @throws ProblemException `insufficient-stock`
 */
export const liquidAt = (position: LotPosition, vesselId: string, explained: Explained | undefined): LotInVessel =>
  explained === undefined ? liquidIn(position, vesselId) : explainedIn(position, explained);

/** The one account of the lot with liquid in the vessel. @throws ProblemException `insufficient-stock` */
export function liquidIn({ lot, compositions }: LotPosition, vesselId: string): LotInVessel {
  for (const target of compositions) {
    const account = inStock(target).find((each) => each.account.vesselId === vesselId);
    if (account !== undefined) {
      return { target, account };
    }
  }
  throw new ProblemException('insufficient-stock', `Lot ${lot.code} has no liquid in that vessel.`, {
    errors: [
      {
        pointer: '/vesselId',
        rule: 'nothing-there',
        detail: 'Give a vessel that holds liquid of this lot, or the lot that is in the vessel.',
      },
    ],
  });
}

function explainedIn({ lot, compositions }: LotPosition, { account }: Explained): LotInVessel {
  const target = compositions.find(({ composition }) => composition.id === account.account.compositionId);
  if (target === undefined || !account.balance.litres.greaterThan(0)) {
    throw new ProblemException('insufficient-stock', `Lot ${lot.code} had no liquid in that vessel at that time.`, {
      errors: [
        {
          pointer: '/explains',
          rule: 'nothing-there',
          detail: 'Check occurredAt, or enter the event without `explains`.',
        },
      ],
    });
  }
  return { target, account };
}

/** Refuses to put something new into a vessel that holds a lot already. @throws ProblemException `vessel-in-use` */
export function requireEmpty(standing: CompositionPosition | undefined, pointer: string): void {
  if (standing !== undefined) {
    const { lotCode, lotId } = standing.composition;
    throw new ProblemException('vessel-in-use', `The vessel holds lot ${lotCode} already.`, {
      errors: [
        { pointer, rule: 'vessel-in-use', detail: 'Use an empty vessel, and blend afterwards if needed.', lot: lotId },
      ],
    });
  }
}

/** A composition's finding of record. @throws ProblemException `finding-needed` */
export function requireOfRecord({ composition, ofRecord }: CompositionPosition): FindingRow {
  if (ofRecord === undefined) {
    throw new ProblemException('finding-needed', `Lot ${composition.lotCode} has no strength of record yet.`, {
      errors: [
        {
          pointer: '/vesselId',
          rule: 'finding-needed',
          detail: 'Enter a finding of record first.',
          composition: composition.id,
        },
      ],
    });
  }
  return ofRecord;
}
