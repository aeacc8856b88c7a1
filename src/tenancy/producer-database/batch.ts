/** A row as it goes into the trail's body and into its table: column names, decimals as strings. */
export type Row = Readonly<Record<string, unknown>>;

/** The append-only tables that a batch may fill, besides accounts, operations and postings. */
export type BooksTable =
  | 'material_lot'
  | 'composition'
  | 'packaged_lot'
  | 'period'
  | 'reading'
  | 'finding'
  | 'finding_reading'
  | 'reading_strike'
  | 'movement'
  | 'gauge'
  | 'stock_count'
  | 'transit'
  | 'container_event'
  | 'plan'
  | 'report';

/** A name or free text about a person: kept apart, in the trail only as a salted hash. */
export interface PersonalText {
  readonly id: string;
  readonly text: string;
}

/** What one write stores; its canonical JSON is the trail's body. */
export interface Batch {
  /** What was asked, as `noun.verb`. */
  readonly action: string;
  readonly rows?: Partial<Record<BooksTable, readonly Row[]>>;
  readonly accounts?: readonly Row[];
  readonly operations?: readonly Row[];
  /** Facts of a plain record, or anything else that the trail should hold. */
  readonly facts?: Row;
  readonly personalText?: readonly PersonalText[];
  readonly reportBytes?: Readonly<Record<string, string>>;
}

/** The version of a balance as it was read: the write is refused as stale when it has moved. */
export interface ReadVersion {
  readonly account: string;
  readonly version: bigint;
}

/** What a service decided: the batch, what it rests on, and the answer, which holds only facts that the write fixes. */
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
    /** What is kept for a replay, where it has to differ from what is sent (a secret that is shown once). */
    readonly kept: unknown = body,
  ) {}
}
