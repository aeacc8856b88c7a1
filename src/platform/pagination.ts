import { createHash } from 'node:crypto';
import { Optional } from './validation/field.js';
import { IsDateOnly, IsPattern, IsQueryInteger } from './validation/fields.js';
import { ProblemException } from './problems/problem.exception.js';

const DEFAULT_PAGE = 50;
export const LARGEST_PAGE = 200;

export const LONGEST_CURSOR = 512;
export const CURSOR_PATTERN = /^[A-Za-z0-9_-]+$/;
const CHECK_BYTES = 6;

/** The query parameters of every list. */
export class PageQuery {
  @Optional()
  @IsQueryInteger(
    { min: 1, max: LARGEST_PAGE },
    { description: `Items of one page; ${DEFAULT_PAGE} if it is left out.`, example: DEFAULT_PAGE },
  )
  limit: number = DEFAULT_PAGE;

  @Optional()
  @IsPattern(
    CURSOR_PATTERN,
    'a cursor as it was received',
    { max: LONGEST_CURSOR },
    { description: 'Where the page starts: the `next` of the page before.' },
  )
  cursor?: string;
}

/** The query parameters of a list whose items belong to days. A day is that of the time zone of the item's premises. */
export class DayQuery extends PageQuery {
  @Optional()
  @IsDateOnly({ description: 'Only from this day on, by the clock of the premises.', example: '2026-10-01' })
  from?: string;

  @Optional()
  @IsDateOnly({ description: 'Only before this day, by the clock of the premises.', example: '2026-11-01' })
  before?: string;
}

/** Days of a filter, first included and last not, YYYY-MM-DD. */
export interface DayFilter {
  readonly from?: string;
  readonly before?: string;
}

/** Name of a list with the filters of a request: a cursor is good for the same filters only. */
export function filteredList(list: string, query: PageQuery): string {
  const filters = Object.entries(query)
    .filter(([name, value]) => name !== 'limit' && name !== 'cursor' && value !== undefined)
    .map(([name, value]) => `${name}=${String(value)}`)
    .sort();
  return filters.length === 0 ? list : `${list}?${filters.join('&')}`;
}

/** One page of a list, as it is sent. */
export interface Page<Item> {
  readonly items: readonly Item[];
  /** Cursor of the next page; null on the last one. */
  readonly next: string | null;
}

/** The place in a list after which a page starts: a sequence number, or the sort value and the id. */
export type CursorPosition = readonly (string | number)[];

const checkOf = (list: string, payload: string): Buffer =>
  createHash('sha256').update(`${list}\n${payload}`).digest().subarray(0, CHECK_BYTES);

/** Writes a position as an opaque cursor that is good for one list only. */
export function encodeCursor(list: string, position: CursorPosition): string {
  const payload = JSON.stringify(position);
  return Buffer.concat([checkOf(list, payload), Buffer.from(payload)]).toString('base64url');
}

/** Refusal of a cursor that was not given out for the list with its filters. */
export const cursorMalformed = (): ProblemException =>
  new ProblemException(
    'cursor-malformed',
    'The cursor is not one that was given out for this list with these filters.',
    {
      errors: [
        {
          pointer: '/cursor',
          in: 'query',
          rule: 'cursor',
          detail: 'Give a cursor as it was received, with the filters of the page that it came with.',
        },
      ],
    },
  );

/** Reads a cursor of this list back; `types` says what its parts have to be. */
export function decodeCursor(list: string, cursor: string, types: readonly ('string' | 'number')[]): CursorPosition {
  const bytes = Buffer.from(cursor, 'base64url');
  const payload = bytes.subarray(CHECK_BYTES).toString('utf8');
  if (bytes.length <= CHECK_BYTES || !checkOf(list, payload).equals(bytes.subarray(0, CHECK_BYTES))) {
    throw cursorMalformed();
  }
  let position: unknown;
  try {
    position = JSON.parse(payload);
  } catch {
    throw cursorMalformed();
  }
  if (
    !Array.isArray(position) ||
    position.length !== types.length ||
    position.some((part, i) => typeof part !== types[i])
  ) {
    throw cursorMalformed();
  }
  return position as CursorPosition;
}

const ID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

/** The id after which a page of a list starts that is sorted by id; null for the first page. A cursor can be made up, so it has to be an id. */
export function idCursor(list: string, cursor: string | undefined): string | null {
  if (cursor === undefined) {
    return null;
  }
  const id = String(decodeCursor(list, cursor, ['string'])[0]);
  if (!ID.test(id)) {
    throw cursorMalformed();
  }
  return id;
}

/**
 * Makes a page of `limit + 1` rows or fewer: the row too many only shows that there is a next page.
 *
 * @param positionOf where the next page starts, from the last row of this one.
 */
export function pageOf<Row, Item>(
  list: string,
  rows: readonly Row[],
  limit: number,
  positionOf: (row: Row) => CursorPosition,
  toItem: (row: Row) => Item,
): Page<Item> {
  const shown = rows.slice(0, limit);
  const last = shown.at(-1);
  const next = rows.length > limit && last !== undefined ? encodeCursor(list, positionOf(last)) : null;
  return { items: shown.map(toItem), next };
}

/** The Link header of a page, for the address that was asked; the host is left to the reader. */
export function linkOf(url: string, page: Page<unknown>): string | undefined {
  if (page.next === null) {
    return undefined;
  }
  const [path, query = ''] = url.split('?', 2);
  const params = new URLSearchParams(query);
  params.set('cursor', page.next);
  return `<${path}?${params.toString()}>; rel="next"`;
}
