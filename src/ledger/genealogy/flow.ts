/** One line of an operation, as far as liquid goes. */
export interface FlowLine {
  readonly account: string;
  readonly side: 'stock' | 'nominal';
  /** liquid, packaged, material; or the kind of nominal account. */
  readonly kind: string;
  readonly litres: number;
  /** Packaged lot of packed goods: one liquid, wherever it stands. */
  readonly packagedLotId?: string | null;
}

export interface FlowOperation {
  readonly id: string;
  readonly kind: string;
  readonly lines: readonly FlowLine[];
}

/** Amounts by tracer. */
export type Amounts = ReadonlyMap<string, number>;

/** An amount of a tracer put into a stock account. */
export interface Injection {
  readonly account: string;
  readonly tracer: string;
  readonly amount: number;
}

/** Amounts that left stock with an operation, by the kind of nominal account. Negative where a measurement found more than the books had. */
export interface Exit {
  readonly operation: string;
  readonly kind: string;
  /** The nominal account with the most of it. */
  readonly account: string;
  readonly amounts: Amounts;
}

/** Effect of one operation. */
export interface Step<O extends FlowOperation> {
  readonly operation: O;
  /** Net litres by stock account. */
  readonly net: ReadonlyMap<string, number>;
  /** Amounts that came into each stock account with liquid from others. */
  readonly received: ReadonlyMap<string, Amounts>;
  /** Amounts that were drawn from each stock account. */
  readonly drawn: ReadonlyMap<string, Amounts>;
  /** It drew nothing: what it brought in is more of the liquid that was there. */
  readonly more: boolean;
  /** Litres in an account after it. */
  litresIn(account: string): number;
  /** A tracer in an account after it. */
  inAccount(account: string, tracer: string): number;
}

/**
 * Treatment of a tracer by an operation: `share` pro rata of litres; `keep` draws none of it while liquid stays; `settle` ends it in what the
 * operation measured; `spill` sends what is drawn to loss, as containers hold what was counted; `stay` leaves it be, as no liquid moved.
 */
export type Route = 'share' | 'keep' | 'settle' | 'spill' | 'stay';

export interface Following<O extends FlowOperation> {
  /** Amounts of tracer to put in after an operation. */
  after(step: Step<O>): readonly Injection[];
  route?(operation: O): Route;
  /** Accounts in which a tracer ends as soon as it comes there. */
  readonly ends?: ReadonlySet<string>;
}

export interface Followed {
  readonly litres: ReadonlyMap<string, number>;
  readonly inStock: ReadonlyMap<string, Amounts>;
  readonly left: readonly Exit[];
}
