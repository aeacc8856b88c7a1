/** Part of a return that came from one movement out. */
export interface MatchedRelease {
  readonly operationId: string;
  /** Decimal as text. */
  readonly litres: string;
}

/** Movements out that returned goods came from, and how they were found. */
export interface Matched {
  readonly by: 'named' | 'oldest-first';
  readonly releases: readonly MatchedRelease[];
}
