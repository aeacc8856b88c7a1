import { cursorMalformed, decodeCursor } from '../../platform/pagination.js';
import type { Rule } from '../../platform/validation/rule.js';

/**
 * Start of a page, read from its cursor. Each part is checked, because a client can invent a cursor.
 *
 * @throws ProblemException `cursor-malformed`
 */
export function positionOf(list: string, cursor: string, rules: readonly Rule[]): string[] {
  const position = decodeCursor(
    list,
    cursor,
    rules.map(() => 'string' as const),
  ).map(String);
  if (position.some((part, index) => rules[index].check(part).length > 0)) {
    throw cursorMalformed();
  }
  return position;
}
