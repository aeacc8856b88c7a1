import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';

/** A finding as computed, before it is written. */
export interface Computed {
  readonly found: StrengthFinding;
  readonly warnings: readonly string[];
  readonly readings: readonly { readonly readingId: string; readonly use: string }[];
  readonly inputs: Record<string, unknown>;
  /** Reason why it cannot be of record: joined findings that do not agree. */
  readonly disagreement?: string;
}
