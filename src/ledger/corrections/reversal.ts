import type { Books, OperationRow, PostingRow } from '../../tenancy/producer-database/batch.js';
import type { AccountKey } from '../books/account.js';
import { accountId, accountRow, nominalAccount } from '../books/account.js';
import { amountTexts, negated } from '../books/amount.js';
import { componentRows, negatedComponents } from '../books/components.js';
import { objectIn, textIn } from '../operations/document-facts.js';
import type { PostedLine, PostedOperation } from './posted-operation.reader.js';
import { correctedPeriodOf } from './posted-operation.reader.js';

export interface ReversalFacts {
  readonly id: string;
  readonly reasonCode: string;
  readonly noteTextId?: string;
  readonly personId?: string;
  readonly now: Date;
}

/** Corrections of a closed period are posted to the `earlier-period` account, whichever account the original used. */
export const onEarlierLine = (account: AccountKey): AccountKey =>
  account.side === 'stock' ? account : nominalAccount(account, 'earlier-period', account.category ?? '');

/** The reversal of an operation as accounts and operation rows: every line with its sign turned, at the time of the event, or now if that is closed. */
export function reversalBooks(original: PostedOperation, facts: ReversalFacts): Books {
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
        premisesId: original.premisesId,
        occurredAt: (closed ? facts.now : original.occurredAt).toISOString(),
        lotId: original.lotId ?? null,
        compositionId: original.compositionId ?? null,
        personId: facts.personId ?? null,
        keyId: null,
        reverses: original.id,
        explains: original.explains ?? null,
        corrects: original.id,
        earlierPeriodId: correctedPeriodOf(original) ?? null,
        reasonCode: facts.reasonCode,
        noteTextId: facts.noteTextId ?? null,
        document: { reverses: original.id, kindReversed: original.kind },
        postings: lines.map((line, index) => turned(line, index + 1)),
      },
    ],
  };
}

const turned = ({ account, amount, subject, components }: PostedLine, line: number): PostingRow => {
  const { litres, lpaFermented, lpaAdded } = amountTexts(negated(amount));
  return {
    line,
    accountId: accountId(account),
    litres,
    lpaFermented: lpaFermented,
    lpaAdded: lpaAdded,
    category: subject.category,
    lotId: subject.lotId ?? null,
    compositionId: subject.compositionId ?? null,
    packagedLotId: subject.packagedLotId ?? null,
    materialLotId: subject.materialLotId ?? null,
    components: componentRows(negatedComponents(components)),
  };
};

/** In the document of an operation: by the number of the posting, the line on which it would stand in its own period. */
const EARLIER_LINES = 'earlierLines';

const linesIn = ({ postings }: OperationRow, kinds: ReadonlyMap<string, string>): Record<string, string> =>
  Object.fromEntries(
    postings.flatMap(({ line, accountId: id }) => {
      const kind = kinds.get(id);
      return kind === undefined ? [] : [[String(line), kind]];
    }),
  );

/** The line on which a posting would stand had its period not been closed; none where it was not put there by a correction. */
export function lineWithin(document: Record<string, unknown>, line: number): string | undefined {
  const kinds = objectIn(document, EARLIER_LINES);
  return kinds === undefined ? undefined : textIn(kinds, String(line));
}

/** A batch that corrects an operation: linked to it and, where that lies in a closed period, with its nominal lines on the line of earlier periods. */
export function asCorrection(batch: Partial<Books>, original: PostedOperation): Books {
  const link = { corrects: original.id, earlierPeriodId: correctedPeriodOf(original) ?? null };
  const operations = (batch.operations ?? []).map((operation) => ({ ...operation, ...link }));
  if (correctedPeriodOf(original) === undefined) {
    return { accounts: [...(batch.accounts ?? [])], operations };
  }
  const moved = new Map<string, AccountKey>();
  const kinds = new Map<string, string>();
  for (const row of batch.accounts ?? []) {
    if (row.side === 'nominal') {
      kinds.set(row.id, row.kind);
      moved.set(
        row.id,
        nominalAccount(
          {
            premisesId: row.premisesId,
            owner: row.owner,
            dutyStatus: row.dutyStatus === 'paid' ? 'paid' : 'suspended',
          },
          'earlier-period',
          row.category ?? '',
        ),
      );
    }
  }
  return {
    accounts: [
      ...(batch.accounts ?? []).filter((row) => row.side === 'stock'),
      ...[...moved.values()].map((account) => accountRow(account)),
    ],
    operations: operations.map((operation) => ({
      ...operation,
      document: { ...operation.document, [EARLIER_LINES]: linesIn(operation, kinds) },
      postings: operation.postings.map((posting) => {
        const account = moved.get(posting.accountId);
        return account === undefined ? posting : { ...posting, accountId: accountId(account) };
      }),
    })),
  };
}
