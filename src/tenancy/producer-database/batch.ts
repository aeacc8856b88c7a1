import type * as Models from '../../generated/prisma/client.js';
import type { Prisma } from '../../generated/prisma/client.js';

/** Facts of an event as JSON: the document of an operation, the inputs of a finding. */
export type Facts = Readonly<Record<string, unknown>>;

/** The append-only tables that a batch fills, with the model that describes each. */
interface BooksModels {
  account: Models.Account;
  operation: Models.Operation;
  posting: Models.Posting;
  materialLot: Models.MaterialLot;
  composition: Models.Composition;
  packagedLot: Models.PackagedLot;
  period: Models.Period;
  periodWithdrawal: Models.PeriodWithdrawal;
  reading: Models.Reading;
  finding: Models.Finding;
  findingReading: Models.FindingReading;
  readingStrike: Models.ReadingStrike;
  readingConfirmation: Models.ReadingConfirmation;
  movement: Models.Movement;
  gauge: Models.Gauge;
  stockCount: Models.StockCount;
  transit: Models.Transit;
  containerEvent: Models.ContainerEvent;
  plan: Models.Plan;
  processStep: Models.ProcessStep;
  materialEntry: Models.MaterialEntry;
  movementProof: Models.MovementProof;
  filing: Models.Filing;
  report: Models.Report;
}

/** The tables whose rows are listed under `rows`; accounts, operations and postings have places of their own. */
type BooksTable = Exclude<keyof BooksModels, 'account' | 'operation' | 'posting'>;

/** Columns that `post` fills itself. The bytes of a report are attached beside the body, which has their hash. */
interface Added {
  report: 'bytes';
  operation: 'sequence';
  posting: 'operationSequence' | 'operationId' | 'occurredAt';
}
type AddedTo<T> = 'producerId' | 'trailSequence' | 'recordedAt' | (T extends keyof Added ? Added[T] : never);

/** A value as it stands in the body: decimals, instants, days and hashes are text. */
type Column<V> = [Prisma.JsonValue] extends [V]
  ? Facts | readonly unknown[]
  : V extends Prisma.Decimal | Date | Uint8Array
    ? string
    : V extends bigint
      ? string | number
      : V extends readonly (infer Item)[]
        ? readonly Item[]
        : V;

/** A row of a table. Every column is named, an empty one as null, so that the compiler finds one that is missing or misspelt. */
export type RowOf<T extends keyof BooksModels> = {
  readonly [K in Exclude<keyof BooksModels[T], AddedTo<T>>]: Column<BooksModels[T][K]>;
};

/** A posting with what each origin of uncertainty contributes to it: origin, litres, litres of pure alcohol. */
export type PostingRow = RowOf<'posting'> & {
  readonly components: readonly (readonly [origin: string, litres: string, lpa: string])[];
};

export type OperationRow = RowOf<'operation'> & { readonly document: Facts; readonly postings: readonly PostingRow[] };

/** Accounts and the operations on them, as part of a batch. */
export interface Books {
  readonly accounts: readonly RowOf<'account'>[];
  readonly operations: readonly OperationRow[];
}

/** Rows of each table. */
export type BooksRows = { readonly [T in BooksTable]?: readonly RowOf<T>[] };

/** A name or free text about a person: kept apart, in the trail only as a salted hash. */
export interface PersonalText {
  readonly id: string;
  readonly text: string;
}

/** The records of one write; their canonical JSON is the body of the trail entry. */
export interface Batch {
  /** The requested action, as `noun.verb`. */
  readonly action: string;
  readonly rows?: BooksRows;
  readonly accounts?: Books['accounts'];
  readonly operations?: Books['operations'];
  /** Facts of a plain record, or anything else that the trail should hold. */
  readonly facts?: Facts;
  readonly personalText?: readonly PersonalText[];
  readonly reportBytes?: Readonly<Record<string, string>>;
}

/** The version of a balance as it was read: the write is refused as stale when it has moved. */
export interface ReadVersion {
  readonly account: string;
  readonly version: bigint;
}

/** The decision of a service: the batch, the versions that it was computed from, and the answer, which holds only facts that the write fixes. */
export interface Plan<T> {
  readonly batch: Batch;
  readonly reads?: readonly ReadVersion[];
  /** The trail's sequence that must still be the last: for what rests on all of the books. */
  readonly head?: bigint;
  readonly answer: Answer<T>;
}

/** An answer to a write. */
export class Answer<T> {
  constructor(
    readonly status: number,
    readonly body: T,
    readonly headers: Readonly<Record<string, string>> = {},
    readonly replayed = false,
    /** The body that is kept for a replay, if it has to differ from the one sent (a secret that is shown once). */
    readonly kept: unknown = body,
  ) {}
}
