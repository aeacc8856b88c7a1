import { OWN } from '../../ledger/books/account.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { IsPlainText } from '../../platform/validation/fields.js';

/** The name of a business whose stock is held: two spellings are two owners. */
export const IsOwner = (options: { readonly description: string }): PropertyDecorator =>
  IsPlainText({ max: 120 }, { ...options, example: 'Weir Brewery (invented)' });

/** As it is kept: null for what the producer owns. */
export const ownerOf = (given: string | undefined): string | null => (given === OWN ? null : (given ?? null));

/**
 * Refuses to mix liquid of two owners.
 *
 * @param one, other as accounts name them, or null for the producer's own
 * @throws ProblemException `conflict`
 */
export function requireSameOwner(one: string | null, other: string | null, pointer: string): void {
  if ((one ?? OWN) !== (other ?? OWN)) {
    const detail = `This liquid belongs to ${named(other)} and the rest to ${named(one)}. Liquid of two owners is not mixed.`;
    throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'other-owner', detail }] });
  }
}

const named = (owner: string | null): string => ((owner ?? OWN) === OWN ? 'the producer' : String(owner));
