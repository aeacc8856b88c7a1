import { uuidv7 } from 'uuidv7';
import type { AccountKey } from '../../ledger/books/account.js';
import { accountId, accountLine, nominalAccount } from '../../ledger/books/account.js';
import { amount } from '../../ledger/books/amount.js';
import type { OperationHead } from '../../ledger/books/operation-draft.js';
import { OperationDraft } from '../../ledger/books/operation-draft.js';
import type { PostedOperation } from '../../ledger/corrections/posted-operation.reader.js';
import { onEarlierLine } from '../../ledger/corrections/reversal.js';
import { Exact, toPlaces6HalfEven } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { componentsByOrigin } from '../../metrology/uncertainty.js';
import { toBookLitres } from '../../metrology/units.js';
import type { Row } from '../../tenancy/door/batch.js';
import { malformed } from '../references.js';
import type { DifferenceAnswer, RightValue } from './difference.dto.js';
import { notComputable, postVolume, volumePlan } from './difference-plan.js';
import { postChanges } from './restate.js';
import type { RestatedFinding } from './restatement.dto.js';
import type { RestatementRead } from './restatement.reader.js';
import { exitLines, spread, stockLine } from './spread.js';
import type { StockChange } from './strength-change.js';
import { derivedFindings, isMeasured, measuredAccounts, restatedRow, stockChanges } from './strength-change.js';

export interface DifferenceRead {
  readonly original: PostedOperation;
  /** The one stock account that the operation filled or gauged. */
  readonly account: AccountKey;
  readonly read: RestatementRead;
}

/** What a difference comes to. */
export interface Outcome {
  readonly drafts: readonly OperationDraft[];
  readonly findings: readonly Row[];
  readonly answer: Pick<DifferenceAnswer, 'inStock' | 'left' | 'findings' | 'volumeChange' | 'strengthChange'>;
}

const COMPUTABLE =
  'Charges, gauges and receipts of materials are put right so; anything else: reverse it and enter it again.';

/** @throws ProblemException `validation-failed` unless one value is given, `not-computable` for a count */
export function requireOneValue(correct: RightValue): void {
  const given = [correct.volume, correct.strength, correct.count].filter((value) => value !== undefined);
  if (given.length !== 1) {
    throw malformed({ pointer: '/correct', rule: 'one-of-three', detail: 'Give volume, strength or count.' });
  }
  if (correct.count !== undefined) {
    throw notComputable('reverse-instead', `A count: ${COMPUTABLE}`, '/correct/count');
  }
}

const KINDS = ['charge', 'gauge', 'receipt'];

/** The one stock account of an operation. @throws ProblemException `not-computable` for an operation that no difference is computed for */
export function accountOf(original: PostedOperation): AccountKey {
  const accounts = new Map(
    original.lines
      .filter(({ account }) => account.side === 'stock')
      .map(({ account }) => [accountLine(account), account]),
  );
  const [account] = [...accounts.values()];
  if (!KINDS.includes(original.kind) || accounts.size !== 1) {
    throw notComputable('reverse-instead', `An operation of the kind ${original.kind}: ${COMPUTABLE}`, '');
  }
  return account;
}

/** What the right value in place of the wrong one comes to. @throws ProblemException `not-computable` */
export function outcomeOf(correct: RightValue, facts: DifferenceRead, head: Omit<OperationHead, 'document'>): Outcome {
  const { original } = facts;
  if (original.kind !== 'receipt') {
    if (correct.volume === undefined) {
      throw notComputable('volume-only', 'Of a charge or gauge the volume is put right; a strength by a new finding.');
    }
    return volumeOutcome(toBookLitres(correct.volume).litres, facts, head);
  }
  return correct.volume === undefined
    ? strengthOutcome(correct.strength?.value ?? 0, facts, head)
    : receivedVolumeOutcome(toBookLitres(correct.volume).litres, facts, head);
}

const stockLitres = ({ lines }: PostedOperation): Decimal =>
  lines
    .filter(({ account }) => account.side === 'stock')
    .reduce((sum, line) => sum.plus(line.amount.litres), new Exact(0));

function requireChange(change: Decimal): void {
  if (change.isZero()) {
    throw notComputable('no-change', 'That is what was entered.');
  }
}

function volumeOutcome(right: Decimal, facts: DifferenceRead, head: Omit<OperationHead, 'document'>): Outcome {
  const { original, account, read } = facts;
  const { compositionId } = account;
  if (compositionId === undefined) {
    throw notComputable('reverse-instead', COMPUTABLE);
  }
  const wrong = original.kind === 'gauge' ? new Exact(String(original.document.foundLitres)) : stockLitres(original);
  const change = right.minus(wrong);
  requireChange(change);
  const plan = volumePlan({ original, read, compositionId, accountId: accountId(account), change });
  const category = read.genealogy.places.get(accountId(account))?.category ?? '';
  const inProcess = plan.finished || read.ofRecord.get(compositionId) === undefined;
  const litresKind =
    original.kind === 'charge' ? 'production-in-process' : inProcess ? 'fermentation-volume-change' : 're-measurement';
  const restated = restatedByVolume(read, plan, head.id, original.id);
  const answer = {
    volumeChange: { value: change.toNumber(), unit: 'L' },
    inStock: plan.stock.map(({ place, what }) => stockLine(place, what.litres.toNumber(), what.fermented.toNumber())),
    left: exitLines(plan.found.left, (litres) => (litres * plan.strengthPercent) / 100),
    findings: restated.wires,
  };
  const document = { corrects: original.id, volume: { wrong: wrong.toFixed(), right: right.toFixed() }, ...answer };
  const draft = new OperationDraft({ ...head, document });
  postVolume(draft, plan, {
    litres: nominalAccount(account, litresKind, category),
    alcohol: nominalAccount(account, inProcess ? 'fermentation' : 're-measurement', category),
    subject: { category, lotId: original.lotId, compositionId },
    closed: original.closedPeriodId !== undefined,
  });
  return { drafts: [draft], findings: restated.rows, answer };
}

/** Mixtures that took more or less of the liquid in than the books had. */
function restatedByVolume(
  read: RestatementRead,
  plan: ReturnType<typeof volumePlan>,
  operationId: string,
  because: string,
): { rows: Row[]; wires: RestatedFinding[] } {
  const rows: Row[] = [];
  const wires: RestatedFinding[] = [];
  for (const [compositionId, { share, litres }] of plan.found.derived) {
    const old = read.ofRecord.get(compositionId);
    const more = share * litres;
    if (old === undefined || isMeasured(old)) {
      continue;
    }
    const value = (old.strengthPercent * litres + plan.strengthPercent * more) / (litres + more);
    if (Math.abs(value - old.strengthPercent) > 1e-9) {
      const id = uuidv7();
      const effects = componentsByOrigin(old.budget);
      const restates = read.lastOfRecord.get(compositionId) ?? old.id;
      rows.push(restatedRow(old, { id, restates, value, effects, share, operationId, because }));
      wires.push({ id, restates, compositionId, strength: { value, unit: '%' } });
    }
  }
  return { rows, wires };
}

/** Draws from a material lot were measured on their own, so a wrong volume received changes what is left of the lot. */
function receivedVolumeOutcome(right: Decimal, facts: DifferenceRead, head: Omit<OperationHead, 'document'>): Outcome {
  const { original, account } = facts;
  const wrong = stockLitres(original);
  const change = right.minus(wrong);
  requireChange(change);
  const added = toPlaces6HalfEven(change.times(new Exact(String(original.document.strength))).dividedBy(100));
  const place = facts.read.genealogy.places.get(accountId(account));
  const answer = {
    volumeChange: { value: change.toNumber(), unit: 'L' },
    inStock: place === undefined ? [] : [stockLine(place, change.toNumber(), added.toNumber())],
    left: [],
    findings: [],
  };
  const document = { corrects: original.id, volume: { wrong: wrong.toFixed(), right: right.toFixed() }, ...answer };
  const draft = new OperationDraft({ ...head, document }).move(
    receiptLine(original, account),
    account,
    amount(change, 0, added),
    { category: 'materials', materialLotId: account.materialLotId },
  );
  return { drafts: [draft], findings: [], answer };
}

const receiptLine = ({ closedPeriodId }: PostedOperation, account: AccountKey): AccountKey => {
  const line = nominalAccount(account, 'receipts', 'materials');
  return closedPeriodId === undefined ? line : onEarlierLine(line);
};

function strengthOutcome(right: number, facts: DifferenceRead, head: Omit<OperationHead, 'document'>): Outcome {
  const { original, account, read } = facts;
  const wrong = Number(original.document.strength);
  requireChange(new Exact(right).minus(wrong));
  const change = {
    oldPercent: wrong,
    newPercent: right,
    oldByOrigin: new Map<string, number>(),
    newByOrigin: new Map<string, number>(),
  };
  const found = spread(read.genealogy, {
    since: original.id,
    accounts: new Set([accountId(account)]),
    ends: measuredAccounts(read, false),
  });
  // All of a spirit's alcohol counts as added, wherever it went.
  const changes = stockChanges(read, found, change).map((each) => ({
    ...each,
    change: amount(0, 0, each.change.fermented.plus(each.change.added)),
  }));
  const derived = derivedFindings(read, found, change, { operationId: head.id, because: original.id, newId: uuidv7 });
  const delta = (right - wrong) / 100;
  const answer = {
    strengthChange: { value: right - wrong, unit: '%' },
    inStock: changes.map((each) => stockLine(each.place, each.litres, each.change.added.toNumber())),
    left: exitLines(found.left, (litres) => litres * delta),
    findings: derived.wires,
  };
  const document = { corrects: original.id, strength: { wrong, right }, ...answer };
  const closed = original.closedPeriodId !== undefined;
  return {
    drafts: postChanges(new OperationDraft({ ...head, document }), changes, (draft, each) =>
      received(draft, each, closed),
    ),
    findings: derived.rows,
    answer,
  };
}

/** More or less alcohol received; of what was used since it went on as material, as the charge posted it. */
function received(draft: OperationDraft, each: StockChange, closed: boolean): OperationDraft {
  const { account, place, change, subject, components } = each;
  if (closed) {
    const line = nominalAccount(account, 'earlier-period', place.category);
    return draft.move(line, account, change, subject, components);
  }
  const receipts = nominalAccount(account, 'receipts', 'materials');
  if (account.kind === 'material') {
    return draft.move(receipts, account, change, subject, components);
  }
  const used = (category: string): AccountKey => nominalAccount(account, 'used-as-material', category);
  return draft
    .move(receipts, used('materials'), change, { category: 'materials' }, components)
    .move(used(place.category), account, change, subject, components);
}
