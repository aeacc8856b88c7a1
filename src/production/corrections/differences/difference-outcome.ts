import type { AccountKey } from '../../../ledger/books/account.js';
import { accountLine } from '../../../ledger/books/account.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { Exact } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { malformed } from '../../shared/references.js';
import type { RightValue } from './difference.dto.js';
import type { DifferenceHead, DifferenceRead, Outcome, ValueName } from './difference-facts.js';
import { COMPUTABLE, notComputable } from './difference-facts.js';
import { mixtureOutcome } from './difference-mixture.js';
import { countOutcome } from './difference-packed.js';
import { amountOutcome, strengthOutcome } from './difference-received.js';
import { lossOutcome, volumeOutcome } from './difference-volume.js';

/** Values of each kind of operation that a difference can correct. */
const VALUES: Readonly<Record<string, readonly ValueName[]>> = {
  charge: ['volume'],
  gauge: ['volume'],
  receipt: ['volume', 'strength'],
  transfer: ['loss'],
  packaging: ['count'],
  dilution: ['volume'],
  addition: ['volume'],
  opening: ['volume', 'strength', 'count'],
};

const NAMES: readonly ValueName[] = ['volume', 'strength', 'count', 'loss'];

/** @throws ProblemException `validation-failed` unless one value is given */
export function requireOneValue(correct: RightValue): ValueName {
  const given = NAMES.filter((name) => correct[name] !== undefined);
  if (given.length !== 1) {
    throw malformed({ pointer: '/correct', rule: 'one-of-four', detail: 'Give volume, strength, count or loss.' });
  }
  return given[0];
}

/** @throws ProblemException `not-computable` for a kind, or a value of it, that no difference is computed for */
export function requireComputable({ kind }: PostedOperation, name: ValueName): void {
  const known = VALUES[kind];
  if (known === undefined) {
    throw notComputable('reverse-instead', `An operation of the kind ${kind}: ${COMPUTABLE}`, '');
  }
  if (!known.includes(name)) {
    const detail = `A difference corrects these values of an operation of the kind ${kind}: ${known.join(', ')}. A strength that was found is corrected by a new finding.`;
    throw notComputable(`${known.join('-or-')}-only`, detail, `/correct/${name}`);
  }
}

/** Account of each kind of operation that its liquid is followed from. */
function isFollowed({ kind, document, compositionId }: PostedOperation, item: string | undefined) {
  return (account: AccountKey): boolean => {
    switch (kind) {
      case 'transfer':
        return account.vesselId === document.toVesselId;
      case 'packaging':
        return account.kind === 'liquid';
      case 'dilution':
      case 'addition':
        return account.kind === 'liquid' && account.compositionId === compositionId;
      case 'opening':
        return (account.packagedLotId ?? account.compositionId) === item;
      default:
        return true;
    }
  };
}

/**
 * The account that a difference starts from.
 *
 * @throws ProblemException `not-computable` for an operation without one such; `validation-failed` for an opening unless it says which thing
 */
export function accountOf(original: PostedOperation, item: string | undefined): AccountKey {
  if ((original.kind === 'opening') !== (item !== undefined)) {
    const detail =
      'Give compositionId or packagedLotId with an opening, to name the item; leave both out with any other operation.';
    throw malformed({ pointer: '/correct/compositionId', rule: 'of-an-opening', detail });
  }
  const followed = isFollowed(original, item);
  const accounts = new Map(
    original.lines
      .filter(({ account }) => account.side === 'stock' && followed(account))
      .map(({ account }) => [accountLine(account), account]),
  );
  const [account] = [...accounts.values()];
  if (accounts.size !== 1) {
    throw notComputable('reverse-instead', `Nothing of it, or more than one thing, is meant: ${COMPUTABLE}`, '');
  }
  return account;
}

/** Accounts whose liquid it follows: of a packaging what it filled as well. */
export const startsOf = (original: PostedOperation, account: AccountKey): readonly AccountKey[] =>
  original.kind !== 'packaging'
    ? [account]
    : original.lines.map((line) => line.account).filter(({ kind }) => kind === 'liquid' || kind === 'packaged');

/** Outcome of the right value in place of the wrong one. @throws ProblemException `not-computable` */
export function outcomeOf(correct: RightValue, facts: DifferenceRead, head: DifferenceHead): Outcome {
  const { original, account } = facts;
  const { volume, strength, loss, count } = correct;
  if (strength !== undefined) {
    return strengthOutcome(strength.value, facts, head);
  }
  if (loss !== undefined) {
    return lossOutcome(toBookLitres(loss).litres, facts, head);
  }
  if (count !== undefined) {
    return original.kind === 'packaging'
      ? countOutcome(count, facts, head)
      : amountOutcome(new Exact(count), openedNominal(facts), facts, head);
  }
  const litres = toBookLitres(volume ?? { value: 0, unit: 'L' }).litres;
  switch (original.kind) {
    case 'receipt':
      return amountOutcome(litres, undefined, facts, head);
    case 'dilution':
    case 'addition':
      return mixtureOutcome(litres, facts, head);
    default:
      if (account.kind === 'packaged') {
        throw notComputable('count-only', 'Packed goods are corrected by their count: give count.', '/correct/volume');
      }
      return volumeOutcome(litres, facts, head);
  }
}

/** Litres of a container of an opening. @throws ProblemException `not-computable` for liquid */
function openedNominal({ nominalLitres }: DifferenceRead) {
  if (nominalLitres === undefined) {
    throw notComputable('volume-only', 'A liquid is corrected by its volume: give volume.', '/correct/count');
  }
  return new Exact(nominalLitres);
}
