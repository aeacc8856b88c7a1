import type { Row } from '../../tenancy/producer-database/batch.js';
import type { AccountKey } from '../books/account.js';
import { accountId, accountRow, nominalAccount } from '../books/account.js';
import { amountTexts, negated } from '../books/amount.js';
import { componentRows, negatedComponents } from '../books/components.js';
import type { PostedLine, PostedOperation } from './posted-operation.reader.js';

export interface ReversalFacts {
  readonly id: string;
  readonly reasonCode: string;
  readonly noteTextId?: string;
  readonly personId?: string;
  readonly now: Date;
}

/** What of an earlier period is corrected stands on a line of its own, whatever line it was on. */
export const onEarlierLine = (account: AccountKey): AccountKey =>
  account.side === 'stock' ? account : nominalAccount(account, 'earlier-period', account.category ?? '');

/** The reversal of an operation as accounts and operation rows: every line with its sign turned, at the time of the event, or now if that is closed. */
export function reversalBooks(original: PostedOperation, facts: ReversalFacts): { accounts: Row[]; operations: Row[] } {
  const closed = original.closedPeriodId !== undefined;
  const lines = original.lines.map((line) => ({
    ...line,
    account: closed ? onEarlierLine(line.account) : line.account,
  }));
  return {
    accounts: lines.map(({ account }) => accountRow(account)),
    operations: [
      {
        id: facts.id,
        kind: 'reversal',
        timing: original.timing,
        premises_id: original.premisesId,
        occurred_at: (closed ? facts.now : original.occurredAt).toISOString(),
        lot_id: original.lotId ?? null,
        composition_id: original.compositionId ?? null,
        person_id: facts.personId ?? null,
        reverses: original.id,
        explains: original.explains ?? null,
        corrects: original.id,
        earlier_period_id: original.closedPeriodId ?? null,
        reason_code: facts.reasonCode,
        note_text_id: facts.noteTextId ?? null,
        document: { reverses: original.id, kindReversed: original.kind },
        postings: lines.map((line, index) => turned(line, index + 1)),
      },
    ],
  };
}

const turned = ({ account, amount, subject, components }: PostedLine, line: number): Row => {
  const { litres, lpaFermented, lpaAdded } = amountTexts(negated(amount));
  return {
    line,
    account_id: accountId(account),
    litres,
    lpa_fermented: lpaFermented,
    lpa_added: lpaAdded,
    category: subject.category,
    lot_id: subject.lotId ?? null,
    composition_id: subject.compositionId ?? null,
    packaged_lot_id: subject.packagedLotId ?? null,
    material_lot_id: subject.materialLotId ?? null,
    components: componentRows(negatedComponents(components)),
  };
};

/** In the document of an operation: by the number of the posting, the line on which it would stand in its own period. */
const EARLIER_LINES = 'earlierLines';

const linesIn = ({ postings }: Row, kinds: ReadonlyMap<string, string>): Record<string, string> =>
  Object.fromEntries(
    (postings as readonly Row[]).flatMap(({ line, account_id }) => {
      const kind = kinds.get(String(account_id));
      return kind === undefined ? [] : [[String(line), kind]];
    }),
  );

/** The line on which a posting would stand had its period not been closed; none where it was not put there by a correction. */
export function lineWithin(document: Record<string, unknown>, line: number): string | undefined {
  const kinds = document[EARLIER_LINES] as Record<string, string> | undefined;
  return kinds?.[String(line)];
}

/** A batch that corrects an operation: linked to it and, where that lies in a closed period, with its nominal lines on the line of earlier periods. */
export function asCorrection(
  batch: { readonly accounts?: readonly Row[]; readonly operations?: readonly Row[] },
  original: PostedOperation,
): { accounts: Row[]; operations: Row[] } {
  const link = { corrects: original.id, earlier_period_id: original.closedPeriodId ?? null };
  const operations = (batch.operations ?? []).map((operation) => ({ ...operation, ...link }));
  if (original.closedPeriodId === undefined) {
    return { accounts: [...(batch.accounts ?? [])], operations };
  }
  const moved = new Map<string, AccountKey>();
  const kinds = new Map<string, string>();
  for (const row of batch.accounts ?? []) {
    if (row.side === 'nominal') {
      kinds.set(String(row.id), String(row.kind));
      moved.set(
        String(row.id),
        nominalAccount(
          {
            premisesId: String(row.premises_id),
            owner: String(row.owner),
            dutyStatus: row.duty_status === 'paid' ? 'paid' : 'suspended',
          },
          'earlier-period',
          String(row.category),
        ),
      );
    }
  }
  return {
    accounts: [
      ...(batch.accounts ?? []).filter((row) => row.side === 'stock'),
      ...[...moved.values()].map((account) => accountRow(account)),
    ],
    operations: operations.map((operation: Row) => ({
      ...operation,
      document: { ...(operation.document as object), [EARLIER_LINES]: linesIn(operation, kinds) },
      postings: (operation.postings as readonly Row[]).map((posting) => {
        const account = moved.get(String(posting.account_id));
        return account === undefined ? posting : { ...posting, account_id: accountId(account) };
      }),
    })),
  };
}
