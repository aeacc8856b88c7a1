import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { Exact } from '../../metrology/decimals.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { AccountKey, NominalKind, Subject } from '../books/account.js';
import { accountId, nominalAccount } from '../books/account.js';
import type { Amount } from '../books/amount.js';
import { amount, atStrengthOf, drawnFrom, minus, negated, NOTHING } from '../books/amount.js';
import type { Components } from '../books/components.js';
import { drawnComponents, mapped, negatedComponents, NO_COMPONENTS, withoutComponents } from '../books/components.js';
import { MomentReader } from '../books/moment.reader.js';
import type { OperationHead } from '../books/operation-draft.js';
import { OperationDraft } from '../books/operation-draft.js';
import type { StockAccount } from '../books/stock.reader.js';
import { StockReader } from '../books/stock.reader.js';
import type { PostedOperation } from './posted-operation.reader.js';
import { PostedOperationReader } from './posted-operation.reader.js';

/** Kinds of operation that an earlier entry can explain: what asserts a volume, and a finding, which asserts a strength. */
const ASSERTIONS: readonly string[] = ['gauge', 'count', 'finding'];

/** A gauge, a stock-take or a finding that an earlier entry explains, with the account that both are about as it stood when the entry happened. */
export interface Explained {
  readonly assertion: PostedOperation;
  readonly account: StockAccount;
  /** The same account now. */
  readonly now: StockAccount;
}

const refused = (rule: string, detail: string, assertion?: string): ProblemException =>
  new ProblemException('conflict', detail, {
    errors: [{ pointer: '/explains', rule, detail, ...(assertion === undefined ? {} : { operation: assertion }) }],
  });

/** Finds what an entry says that it explains. */
@Injectable()
export class ExplanationReader {
  constructor(
    private readonly operations: PostedOperationReader,
    private readonly stock: StockReader,
    private readonly moments: MomentReader,
  ) {}

  /** The same, or undefined where the entry explains nothing. */
  async ifGiven(
    tx: Tx,
    producerId: string,
    explains: string | undefined,
    at: Date,
    isOwn: (account: AccountKey) => boolean,
  ): Promise<Explained | undefined> {
    return explains === undefined ? undefined : this.of(tx, producerId, explains, at, isOwn);
  }

  /**
   * @param at when the entry happened; @param isOwn which of the accounts of the assertion the entry is about
   * @throws ProblemException `not-found`; `conflict` for what is no gauge, count or finding, is reversed, is not later, or is of other accounts
   */
  async of(
    tx: Tx,
    producerId: string,
    explains: string,
    at: Date,
    isOwn: (account: AccountKey) => boolean,
  ): Promise<Explained> {
    const assertion = await this.operations.row(tx, producerId, explains);
    if (assertion === undefined) {
      throw new ProblemException('not-found', 'Nothing is found under this id.', {
        errors: [
          {
            pointer: '/explains',
            rule: 'not-found',
            detail: 'Give the id of a gauge, a count or a finding’s operation.',
          },
        ],
      });
    }
    if (!ASSERTIONS.includes(assertion.kind)) {
      throw refused('not-an-assertion', 'Only a gauge, a count of a stock-take or a later finding can be explained.');
    }
    const [{ reversed }] = await tx.$queryRaw<{ reversed: boolean }[]>`
      SELECT is_reversed(${producerId}::uuid, ${explains}::uuid) AS reversed`;
    if (reversed) {
      throw refused('reversed', 'It is reversed: nothing of it is left to explain.', assertion.reversedBy);
    }
    if (assertion.occurredAt <= at) {
      throw refused('not-later', 'It is not later than the entry: enter that without `explains`.', assertion.id);
    }
    const line = assertion.lines.find(({ account }) => account.side === 'stock' && isOwn(account));
    const key = line?.account;
    if (key === undefined) {
      throw refused('other-account', 'It asserted nothing of these goods where they stand.', assertion.id);
    }
    const held = await this.stock.ofIds(tx, producerId, [accountId(key)]);
    const [account] = await this.moments.asOf(tx, producerId, held, at);
    return { assertion, account, now: held[0] };
  }
}

/** The line that an assertion put its difference on: litres, and alcohol where that is another. */
function linesOf(assertion: PostedOperation): { litres: NominalKind; alcohol: NominalKind } {
  if (assertion.kind === 'count') {
    return { litres: 'stock-difference', alcohol: 'stock-difference' };
  }
  const inProcess = assertion.lines.some(
    ({ account: { kind } }) => kind === 'fermentation-volume-change' || kind === 'fermentation',
  );
  return inProcess
    ? { litres: 'fermentation-volume-change', alcohol: 'fermentation' }
    : { litres: 're-measurement', alcohol: 're-measurement' };
}

/**
 * Alcohol that a later finding gave to what had been drawn by then, or did not give to what had come back: the account keeps the strength that it
 * has now. Without litres, as a finding asserts none.
 */
function strengthBack(now: StockAccount, done: { amount: Amount; components: Components }): [Amount, Components] {
  const { litres } = done.amount;
  const drawn = litres.negated();
  if (drawn.greaterThan(now.balance.litres)) {
    // The write itself refuses more than there is, with the moment.
    return [NOTHING, NO_COMPONENTS];
  }
  if (litres.greaterThan(0)) {
    return [{ ...minus(atStrengthOf(now.balance, litres), done.amount), litres: new Exact(0) }, NO_COMPONENTS];
  }
  const taken = drawnComponents(now.components, now.balance, drawn);
  return [
    { ...minus(negated(done.amount), drawnFrom(now.balance, drawn)), litres: new Exact(0) },
    withoutComponents(negatedComponents(taken), done.components),
  ];
}

/** Refuses to explain a finding by liquid that went on to other stock: it took the strength that was found with it. */
function requireNoOtherStock(entry: OperationDraft, account: AccountKey, assertion: PostedOperation): void {
  const goesOn = entry.accounts.some(({ id, side }) => side === 'stock' && id !== accountId(account));
  if (assertion.kind === 'finding' && goesOn) {
    throw refused(
      'found-later',
      'A transfer or a run takes the strength that was found with it: give it a time after the finding, without `explains`.',
      assertion.id,
    );
  }
}

const only = (components: Components, measure: 'litres' | 'lpa'): Components =>
  mapped(components, (each) => ({
    litres: measure === 'litres' ? each.litres : new Exact(0),
    lpa: measure === 'lpa' ? each.lpa : new Exact(0),
  }));

/**
 * The counter-entry of an entry that explains an assertion: at the moment of that one, from the line that its difference stands on back into the
 * account, so that what was asserted still stands and the difference is smaller by what has been explained. Of a finding it is the alcohol only.
 */
export function explanationOf(
  entry: OperationDraft,
  { assertion, account, now }: Explained,
  subject: Subject,
): OperationDraft {
  requireNoOtherStock(entry, account.account, assertion);
  const done = entry.on(account.account);
  const [back, components] =
    assertion.kind === 'finding' ? strengthBack(now, done) : [negated(done.amount), negatedComponents(done.components)];
  const { litres, alcohol } = linesOf(assertion);
  const { personId, keyId, reasonCode, id } = entry.head;
  const head: OperationHead = {
    id: uuidv7(),
    kind: 'explanation',
    timing: 'draw',
    premisesId: account.account.premisesId,
    occurredAt: assertion.occurredAt,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    personId,
    keyId,
    reasonCode,
    explains: assertion.id,
    document: { explains: assertion.id, entry: id },
  };
  return new OperationDraft(head)
    .move(
      nominalAccount(account.account, litres, subject.category),
      account.account,
      amount(back.litres),
      subject,
      only(components, 'litres'),
    )
    .move(
      nominalAccount(account.account, alcohol, subject.category),
      account.account,
      { ...back, litres: new Exact(0) },
      subject,
      only(components, 'lpa'),
    );
}
