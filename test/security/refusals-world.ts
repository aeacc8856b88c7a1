import { createHash, randomUUID } from 'node:crypto';
import { uuidv7 } from 'uuidv7';
import type { AccountKey, Subject } from '../../src/ledger/books/account.js';
import { liquidAccount, nominalAccount, packagedAccount } from '../../src/ledger/books/account.js';
import { amount } from '../../src/ledger/books/amount.js';
import type { OperationHead } from '../../src/ledger/books/operation-draft.js';
import { booksOf, OperationDraft } from '../../src/ledger/books/operation-draft.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { compositionRow } from '../../src/production/lots/compositions/composition.rows.js';
import type { Batch, BooksRows, RowOf } from '../../src/tenancy/producer-database/batch.js';
import { bodyRows } from '../../src/tenancy/producer-database/batch-body.js';
import { AppSession } from '../support/app-session.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// The producer and the calls of test/security/refusals.test.ts.

export type Json = Record<string, unknown>;
/** One call: the function with its arguments, $1 being the producer. */
export type Call = readonly [sql: string, ...values: unknown[]];

export const NOW = '2026-06-01T08:00:00Z';
const MARCH_1 = '2026-03-01T12:00:00.000Z';
export const day = (n: number): Date => new Date(Date.parse(MARCH_1) + n * 86_400_000);

export let service: TestService;
let floor: Floor;
let app: AppSession;
let vessel: string;
let cask: string;
export let lots: string[];
let bottles: string;
let periodId: string;
export let reading: string;

export async function openWorld(): Promise<void> {
  service = await TestService.start({ clock: new SteppableClock(new Date(NOW)) });
  floor = await Floor.open(service, [['2026-02-01', '2026-07-01']]);
  periodId = ((await floor.get('/v1/periods')).items as { id: string }[])[0].id;
  vessel = await floor.vessel('FV1');
  const small = { premisesId: floor.premisesId, name: 'C1', kind: 'cask', capacity: { value: 50, unit: 'L' } };
  cask = String((await floor.post('/v1/vessels', small)).id);
  lots = [await floor.lot('beer'), await floor.lot('beer')];
  reading = await floor.gravity(lots[0], 1.04, '2026-03-01T12:00:00Z');
  // 100 bottles of half a litre at 4 %: 50 L with 2 L of pure alcohol.
  const facts = { mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4 };
  const opened = await openStock(floor, '2026-02-01T08:00:00Z', [], [{ ...facts, percent: 4, strengthU: 0.1 }]);
  [bottles] = opened.packaged;
  app = await AppSession.open(service.database.appUrl);
}

export async function closeWorld(): Promise<void> {
  await app.close();
  await service.stop();
}

export const place = () => ({ premisesId: floor.premisesId });
/** A period of the premises that begins in March, where one exists already. */
export const periodRow = (): RowOf<'period'> => ({
  id: uuidv7(),
  premisesId: floor.premisesId,
  startsOn: '2026-03-01',
  endsBefore: '2026-08-01',
  startsAt: '2026-03-01T00:00:00.000Z',
  endsAt: '2026-07-31T23:00:00.000Z',
  timeZone: 'Europe/London',
});
export const withdrawn = (): RowOf<'periodWithdrawal'> => ({ periodId });
export const released = () => nominalAccount(place(), 'released', 'beer');
export const packed = () => packagedAccount(place(), bottles);
export const subject = (): Subject => ({ category: 'beer', packagedLotId: bottles });

/** An operation on a day of March with its moves. */
export function operation(
  at: number,
  moves: readonly (readonly [from: AccountKey, to: AccountKey, litres: number, lpa: number, subject?: Subject])[],
  head: Partial<OperationHead> = {},
): OperationDraft {
  const draft = new OperationDraft({
    id: uuidv7(),
    kind: 'movement',
    timing: 'draw',
    ...place(),
    occurredAt: day(at),
    document: {},
    ...head,
  });
  for (const [from, to, litres, lpa, whose] of moves) {
    draft.move(from, to, amount(litres, lpa), whose ?? subject());
  }
  return draft;
}

/** Bottles of half a litre at 4 % out of stock, or with a number below zero back into it. */
export const out = (at: number, count: number, head: Partial<OperationHead> = {}) =>
  operation(at, [[packed(), released(), count / 2, count / 50]], head);

export const movementRow = (draft: OperationDraft, kind: string, count: number): RowOf<'movement'> => ({
  operationId: draft.head.id,
  kind,
  packagedLotId: bottles,
  compositionId: null,
  materialLotId: null,
  count,
  litres: String(count / 2),
  dutyDate: null,
  strengthForDutyPercent: null,
  counterpartyTextId: null,
  witnessTextId: null,
  evidence: {},
});

export const event = (draft: OperationDraft, what: string, litres: number): RowOf<'containerEvent'> => ({
  operationId: draft.head.id,
  serial: 'K-1',
  event: what,
  packagedLotId: bottles,
  litres: String(litres),
});

/** Wort of a lot charged into the vessel, with its composition. */
export function charged(at: number, lotId: string, into = vessel): readonly [OperationDraft, BooksRows] {
  const compositionId = uuidv7();
  const draft = operation(
    at,
    [
      [
        nominalAccount(place(), 'production-in-process', 'beer'),
        liquidAccount(place(), compositionId, into),
        100,
        0,
        { category: 'beer', lotId, compositionId },
      ],
    ],
    { kind: 'charge', timing: 'change', lotId, compositionId },
  );
  const row = { id: compositionId, lotId, ...place(), kind: 'charge' as const, operationId: draft.head.id };
  return [draft, { composition: [compositionRow({ ...row, openedAt: day(at) })] }];
}

export const finding = (id: string, compositionId: string, readingId: string): BooksRows => ({
  finding: [
    {
      id,
      lotId: lots[0],
      compositionId,
      standing: 'supporting',
      restates: null,
      methodId: 'certificate',
      methodVersion: '1',
      strengthPercent: '5',
      standardUncertainty: '0.05',
      coverageFactor: '2',
      expandedUncertainty: '0.1',
      degreesOfFreedom: null,
      realExtractPlato: null,
      densityKgM3: null,
      budget: [],
      inputs: {},
      warnings: [],
      sampledAt: MARCH_1,
      operationId: null,
    },
  ],
  findingReading: [{ findingId: id, readingId, use: 'final' }],
});

export const report = (hash: string): RowOf<'report'> => ({
  id: randomUUID(),
  periodId,
  hash: `\\x${hash}`,
  headSequence: '1',
  headHash: `\\x${'00'.repeat(32)}`,
});
export const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

export const post = (batch: Partial<Batch> | Json, guard: Json = {}, at = NOW, attachments: Json = {}): Call => [
  'post($1::uuid, $2, $3::timestamptz, $4::jsonb, $5::jsonb)',
  JSON.stringify({ version: 1, action: 'test.post', ...batch }),
  at,
  JSON.stringify({ principal: floor.producerId, ...guard }),
  JSON.stringify(attachments),
];
export const posting = (drafts: readonly OperationDraft[], rows?: BooksRows, guard: Json = {}): Call =>
  post(bodyRows({ action: 'test.post', ...booksOf(...drafts), ...(rows === undefined ? {} : { rows }) }), guard);

/** A body whose first operation was changed. */
export function altered(draft: OperationDraft, change: (postings: Json[], row: Json) => void): Call {
  const body = structuredClone(bodyRows({ action: 'test.post', ...booksOf(draft) }));
  const [row] = body.operations as Json[];
  change(row.postings as Json[], row);
  return post(body);
}

export const idempotency = (bodyHash: string) => ({
  idempotency: { route: 'POST /v1/x', key: 'k', bodyHash, status: 201, response: '{}' },
});
export const settingsOpen = (guard: Json): Call => [
  `settings_open($1::uuid, $2::timestamptz, $3::jsonb, '{}'::jsonb)`,
  NOW,
  JSON.stringify({ principal: floor.producerId, ...guard }),
];
export const charged1 = (at: number, lotId: string): readonly [OperationDraft[], BooksRows] => {
  const [draft, rows] = charged(at, lotId);
  return [[draft], rows];
};
export const undone = ({ head }: OperationDraft): OperationDraft =>
  operation(5, [], { kind: 'reversal', timing: 'assertion', reverses: head.id }).assert(packed(), subject());
/** 100 L into a cask of 50. */
export const overfilled = (): readonly [OperationDraft[], BooksRows] => {
  const [draft, rows] = charged(1, lots[0], cask);
  return [[draft], rows];
};
/** An entry before a count that leaves what was counted. */
export const explaining = ({ head }: OperationDraft): OperationDraft =>
  operation(4, [], { explains: head.id }).assert(packed(), subject());

export function withName(table: 'reading' | 'account' | 'operation' | 'posting', name: string): Call {
  const body = structuredClone(bodyRows({ action: 'test.post', ...booksOf(out(1, 2)), rows: { reading: [] } }));
  const [row] = body.operations as Json[];
  const target = {
    reading: () => {
      const added: Json = {};
      ((body.rows as Json).reading as Json[]).push(added);
      return added;
    },
    account: () => (body.accounts as Json[])[0],
    operation: () => row,
    posting: () => (row.postings as Json[])[0],
  }[table]();
  target[name] = floor.producerId;
  return post(body);
}

export interface Refused {
  readonly refusal: Json;
  /** The function and its line, as `name:line`. */
  readonly site: string;
}

/** Carries calls out in one transaction that is undone, and returns what the last was refused for. */
export async function refusedBy(calls: readonly Call[]): Promise<Refused> {
  return app.as(undefined, async () => {
    for (const [sql, ...values] of calls.slice(0, -1)) {
      await app.client.query(`SELECT ${sql}`, [floor.producerId, ...values]);
    }
    const [sql, ...values] = calls[calls.length - 1];
    try {
      await app.client.query(`SELECT ${sql}`, [floor.producerId, ...values]);
    } catch (error) {
      const { message, where = '' } = error as { message: string; where?: string };
      if (!message.startsWith('GAUGEBOOK ')) {
        throw error;
      }
      const raisedBy = /PL\/pgSQL function (?!fail\()(\w+)\(.*?\) line (\d+) at PERFORM/.exec(where);
      return {
        refusal: JSON.parse(message.slice('GAUGEBOOK '.length)) as Json,
        site: `${raisedBy?.[1]}:${raisedBy?.[2]}`,
      };
    }
    throw new Error('It was allowed.');
  });
}
