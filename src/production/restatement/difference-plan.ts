import type { AccountKey } from '../../ledger/books/account.js';
import { nominalAccount } from '../../ledger/books/account.js';
import type { Amount } from '../../ledger/books/amount.js';
import { amount } from '../../ledger/books/amount.js';
import type { OperationDraft } from '../../ledger/books/operation-draft.js';
import type { PostedOperation } from '../../ledger/corrections/posted-operation.reader.js';
import { onEarlierLine } from '../../ledger/corrections/reversal.js';
import type { GenealogyOperation, Place } from '../../ledger/genealogy/genealogy.reader.js';
import type { Route } from '../../ledger/genealogy/tracer.js';
import { bookStrengthPercent } from '../../ledger/books/amount.js';
import { Exact, toPlaces6HalfEven } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { RestatementRead } from './restatement.reader.js';
import type { Spread } from './spread.js';
import { spread } from './spread.js';
import { isMeasured, roundedParts, subjectLine } from './strength-change.js';

/** What was measured or counted by itself keeps its litres; what was asserted of a vessel settles them. */
const ROUTES: Readonly<Record<string, Route>> = {
  movement: 'keep',
  packaging: 'spill',
  gauge: 'settle',
  'stock-take': 'settle',
};
export const volumeRoute = ({ kind }: GenealogyOperation): Route => ROUTES[kind] ?? 'share';

export const notComputable = (rule: string, detail: string, pointer = '/correct'): ProblemException =>
  new ProblemException('not-computable', detail, { errors: [{ pointer, rule, detail }] });

/** What a wrong volume of a charge or gauge changes, and where its other half stands. */
export interface VolumePlan {
  readonly found: Spread;
  readonly stock: readonly { readonly place: Place; readonly what: Amount }[];
  /** Losses and measurements that follow. */
  readonly exits: readonly {
    readonly account: AccountKey;
    readonly category: string;
    readonly what: Amount;
    readonly produced: boolean;
  }[];
  readonly strengthPercent: number;
  /** The composition had been found finished after the operation. */
  readonly finished: boolean;
}

interface VolumeFacts {
  readonly original: PostedOperation;
  readonly read: RestatementRead;
  readonly compositionId: string;
  readonly accountId: string;
  readonly change: Decimal;
}

/** Follows a wrong volume down the genealogy. @throws ProblemException `not-computable` over a composition measured on its own */
export function volumePlan({ original, read, compositionId, accountId, change }: VolumeFacts): VolumePlan {
  const found = spread(read.genealogy, {
    since: original.id,
    accounts: new Set([accountId]),
    litres: change.toNumber(),
    route: volumeRoute,
  });
  const { operations } = read.genealogy;
  const order = new Map(operations.map(({ id }, index) => [id, index]));
  const finish = read.standing.get(compositionId)?.at(0)?.operationId ?? undefined;
  const finishedAt = finish === undefined ? Infinity : (order.get(finish) ?? Infinity);
  const finished = finishedAt !== Infinity && (order.get(original.id) ?? 0) < finishedAt;
  requireFollowable(read, found, compositionId);
  const own = read.stock.get(accountId);
  const strengthPercent =
    read.ofRecord.get(compositionId)?.strengthPercent ??
    (own === undefined ? 0 : (bookStrengthPercent(own.balance) ?? 0));
  const followed = found.left.filter(({ operation }) => operation.kind !== 'movement');
  const litres = roundedParts([...found.inStock, ...followed].map((each) => new Exact(each.litres)));
  const withAlcohol = (volume: Decimal, percent: number): Amount =>
    amount(volume, toPlaces6HalfEven(volume.times(new Exact(percent)).dividedBy(100)));
  const category = read.genealogy.places.get(accountId)?.category ?? '';
  return {
    found,
    strengthPercent,
    finished,
    stock: found.inStock.map(({ place }, index) => {
      const measured = read.ofRecord.get(place.key.compositionId ?? '');
      const percent = measured !== undefined && isMeasured(measured) ? measured.strengthPercent : strengthPercent;
      return { place, what: withAlcohol(litres[index], percent) };
    }),
    exits: followed.map(({ operation, kind, account }, index) => {
      const place = read.genealogy.places.get(account);
      const afterFinish = (order.get(operation.id) ?? 0) > finishedAt;
      const key = place?.key ?? nominalAccount({ premisesId: operation.premisesId }, nominalKind(kind), category);
      return {
        account: operation.closedPeriodId === undefined ? key : onEarlierLine(key),
        category: place?.category ?? category,
        what: withAlcohol(litres[found.inStock.length + index], afterFinish ? strengthPercent : 0),
        produced: afterFinish && finished,
      };
    }),
  };
}

const nominalKind = (kind: string): 're-measurement' | 'packaging-loss' =>
  kind === 'packaging-loss' ? 'packaging-loss' : 're-measurement';

/** A blend with liquid measured on its own in between: its strength would have to be found again. */
function requireFollowable(read: RestatementRead, found: Spread, compositionId: string): void {
  for (const id of found.derived.keys()) {
    const ofRecord = read.ofRecord.get(id);
    if (id !== compositionId && ofRecord !== undefined && isMeasured(ofRecord)) {
      throw notComputable(
        'measured-since',
        `The liquid went into a composition whose strength was measured on its own (${id}): reverse and enter again.`,
      );
    }
  }
}

/** Posts a volume plan: out of the line that the wrong operation stood on, and produced with it where it was finished since. */
export function postVolume(
  draft: OperationDraft,
  plan: VolumePlan,
  lines: {
    readonly litres: AccountKey;
    readonly alcohol: AccountKey;
    readonly category: string;
    readonly closed: boolean;
  },
): void {
  const line = (account: AccountKey): AccountKey => (lines.closed ? onEarlierLine(account) : account);
  const nominal = (kind: 'produced' | 'production-in-process' | 'fermentation', of: AccountKey): AccountKey =>
    nominalAccount(of, kind, lines.category);
  const produce = (what: Amount): void => {
    if (!lines.closed) {
      const subject = { category: lines.category };
      const alcohol = { ...what, litres: new Exact(0) };
      draft
        .move(
          nominal('produced', lines.litres),
          nominal('production-in-process', lines.litres),
          amount(what.litres),
          subject,
        )
        .move(nominal('produced', lines.litres), nominal('fermentation', lines.litres), alcohol, subject);
    }
  };
  const move = (to: AccountKey, what: Amount, subject: ReturnType<typeof subjectLine>): void => {
    const from = (account: AccountKey, part: Amount): void => {
      const source = lines.closed ? nominalAccount(to, 'earlier-period', subject.category) : account;
      if (!lines.closed && to.side === 'stock' && subject.category !== lines.category) {
        const moves = (category: string) => nominalAccount(account, 'category-moves', category);
        draft.move(source, moves(lines.category), part, { category: lines.category });
        draft.move(moves(subject.category), to, part, subject);
      } else {
        draft.move(source, to, part, subject);
      }
    };
    from(lines.litres, amount(what.litres));
    from(lines.alcohol, { ...what, litres: new Exact(0) });
  };
  for (const { place, what } of plan.stock) {
    move(place.key, what, subjectLine(place));
    if (plan.finished) {
      produce(what);
    }
  }
  if (!lines.closed) {
    for (const { account, category, what, produced } of plan.exits) {
      move(line(account), what, { category });
      if (produced) {
        produce(what);
      }
    }
  }
}
