import { createHash } from 'node:crypto';
import { canonicalJson } from '../../platform/canonical-json.js';

/** Entries within this time that are alike are probably one entry made twice. */
const WITHIN_MS = 60_000;
/** Entries that are kept in mind at the most; the oldest are let go first. */
const MOST_ENTRIES = 10_000;

/**
 * The entries of the last minute, by a hash of who entered what where. Kept in this process only: with several processes a repetition that
 * another one answers is not noticed, and nothing is refused by it.
 */
export class RecentEntries {
  readonly #at = new Map<string, number>();

  /** Notes an entry. @returns the time of the same one before, if that was within the last minute */
  note(principalId: string, route: string, body: unknown, now: Date): Date | undefined {
    const key = createHash('sha256')
      .update(`${principalId} ${route} ${canonicalJson(body ?? {})}`)
      .digest('base64');
    const before = this.#at.get(key);
    this.#at.delete(key);
    this.#at.set(key, now.getTime());
    this.#letGo(now.getTime() - WITHIN_MS);
    return before === undefined || now.getTime() - before > WITHIN_MS ? undefined : new Date(before);
  }

  #letGo(until: number): void {
    for (const [key, at] of this.#at) {
      if (at >= until && this.#at.size <= MOST_ENTRIES) {
        return;
      }
      this.#at.delete(key);
    }
  }
}
