/** A closed month that a landmark lies in. */
export interface InPeriod {
  readonly premisesId: string;
  readonly periodId: string;
  /** Counted from zero. */
  readonly month: number;
}

interface Corrected extends InPeriod {
  /** The operation that was wrong. */
  readonly operationId: string;
  /** What put it right: the new entry, or the difference entry. */
  readonly correctionId: string;
}

/** Where in the two years something worth showing stands; what the months that were made have not reached is left out. */
export interface Places {
  /** A laboratory value that came after packing and was restated: the finding of record before it, and itself. */
  laboratory: InPeriod & { readonly lotId: string; readonly findingId: string; readonly packagedLotId: string };
  /** A lot blended from a blend. */
  blendOfBlends: InPeriod & { readonly lotId: string; readonly blendLotId: string; readonly packagedLotId: string };
  export: InPeriod & { readonly movementId: string; readonly packagedLotId: string };
  suspended: InPeriod & { readonly movementId: string };
  destroyedLot: InPeriod & { readonly movementId: string; readonly lotId: string };
  /** Kegs of another producer under suspension, one short; one came back spoilt with its duty paid and was destroyed. */
  spoiltPaid: InPeriod & {
    readonly receiptId: string;
    readonly packagedLotId: string;
    readonly releaseId: string;
    readonly returnId: string;
    readonly movementId: string;
  };
  /** Goods under suspension of which some were refused and one was lost: dispatch, return, loss. */
  shortArrival: InPeriod & { readonly movementId: string; readonly returnId: string; readonly lossId: string };
  theft: InPeriod & { readonly movementId: string };
  returned: InPeriod & { readonly movementId: string; readonly packagedLotId: string };
  rework: InPeriod & { readonly operationId: string; readonly lotId: string };
  repacking: InPeriod & { readonly operationId: string };
  relabelling: InPeriod & { readonly operationId: string };
  yeastCrop: InPeriod & { readonly materialLotId: string; readonly lotId: string };
  heel: InPeriod & { readonly lotId: string };
  conditioned: InPeriod & { readonly packagedLotId: string };
  split: InPeriod & { readonly lotId: string; readonly newLotId: string };
  /** A movement of a closed month, reversed and entered again in an open one. */
  earlierCorrection: Corrected;
  /** A charge of a closed month, put right by a difference entry. */
  earlierDifference: Corrected;
  /** A gauge put right in its own month after later work. */
  difference: Corrected;
  /** A movement entered twice, reversed, and its reversal reversed: it had happened twice after all. */
  reversedReversal: InPeriod & { readonly operationId: string; readonly reversalId: string };
  struck: InPeriod & { readonly readingId: string; readonly lotId: string };
  /** A loss found out after the stock-take, with the count that it explains. */
  explained: InPeriod & { readonly movementId: string; readonly countId: string };
  unexplained: InPeriod & { readonly countId: string };
  /** A reading with an instrument whose calibration had lapsed. */
  lapsedCalibration: InPeriod & { readonly instrumentId: string; readonly readingId: string; readonly lotId: string };
  /** Goods that were on the way between the premises when a month ended. */
  overTheMonthEnd: InPeriod & { readonly transitId: string };
  lostOnTheWay: InPeriod & { readonly transitId: string };
  /** A month in which nothing happened. */
  nilMonth: InPeriod;
  /** The month with the most operations. */
  fullest: InPeriod;
}

/** Decimals in litres. */
export interface OpeningStock {
  readonly litres: string;
  readonly fermented: string;
  readonly added: string;
}

export interface Landmarks extends Partial<Places> {
  readonly months: number;
  readonly startsOn: string;
  readonly premises: { readonly main: string; readonly second: string };
  /** Closed periods in order; the one after the last is open. */
  readonly periods: { readonly main: readonly string[]; readonly second: readonly string[] };
  readonly openPeriods: { readonly main: string; readonly second: string };
  /** What the books of each premises began with, as the script counted it. */
  readonly openingStock: { readonly main: OpeningStock; readonly second: OpeningStock };
  readonly dutyRuleSetId: string;
  readonly recipes: Readonly<Record<string, string>>;
  readonly instruments: Readonly<Record<string, string>>;
  /** A flavouring lot that turned out to be bad: what a recall would start from. */
  readonly suspectMaterialLotId?: string;
}
