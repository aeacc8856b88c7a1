import { canonicalText, Exact, sumOf } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { groupedNumber } from '../../platform/words.js';
import type { Matched, MatchedRelease } from './matched.js';
import type { MovementRow } from './movement.reader.js';

interface Open {
  readonly row: MovementRow;
  left: Decimal;
}

/** Takes litres out of what is outstanding, oldest first; fewer if there is not as much. */
function takenFrom(open: readonly Open[], litres: Decimal): MatchedRelease[] {
  let rest = litres;
  const taken: MatchedRelease[] = [];
  for (const each of open) {
    const part = Exact.min(each.left, rest);
    if (part.greaterThan(0)) {
      taken.push({ operationId: each.row.id, litres: part.toFixed() });
      each.left = each.left.minus(part);
      rest = rest.minus(part);
    }
  }
  return taken;
}

/** Litres outstanding of each movement out, in the order of the events, less what earlier returns took of it. */
function outstandingOf(rows: readonly MovementRow[], at: Date): Open[] {
  const standing = rows.filter(({ reversed, occurredAt }) => !reversed && occurredAt <= at);
  const inOrder = [...standing].sort(
    (a, b) => a.occurredAt.getTime() - b.occurredAt.getTime() || (a.sequence < b.sequence ? -1 : 1),
  );
  const open = inOrder
    .filter(({ kind, lostFrom }) => kind !== 'return' && lostFrom === null)
    .map((row): Open => ({ row, left: new Exact(row.litres) }));
  for (const { returnedFrom, litres, lostFrom } of inOrder.filter(
    (row) => row.kind === 'return' || row.lostFrom !== null,
  )) {
    if (lostFrom !== null) {
      takenFrom(
        open.filter(({ row }) => row.id === lostFrom),
        new Exact(litres),
      );
      continue;
    }
    if (returnedFrom === null) {
      takenFrom(open, new Exact(litres));
    }
    for (const each of returnedFrom?.releases ?? []) {
      takenFrom(
        open.filter(({ row }) => row.id === each.operationId),
        new Exact(each.litres),
      );
    }
  }
  return open;
}

/**
 * Movements out that returned goods came from: the one that is named, else those of the packaged lot, oldest first.
 *
 * @param rows movements of the packaged lot, out and back
 * @throws ProblemException `conflict` where the named one is of other goods, or less of it is outstanding
 */
export function matchedReleases(
  rows: readonly MovementRow[],
  { litres, at, named }: { readonly litres: Decimal; readonly at: Date; readonly named: string | undefined },
): Matched {
  const open = outstandingOf(rows, at);
  if (named === undefined) {
    return { by: 'oldest-first', releases: takenFrom(open, litres) };
  }
  const own = open.filter(({ row }) => row.id === named);
  if (own.length === 0) {
    throw refused('other-goods', 'The movement that is named did not send these goods out before this return.', named);
  }
  const there = sumOf(own.map(({ left }) => left));
  if (there.lessThan(litres)) {
    const detail = `${countedLitres(there)} of that movement had not come back by then; ${countedLitres(litres)} are said to have come back.`;
    throw refused('more-than-outstanding', detail, named);
  }
  return { by: 'named', releases: takenFrom(own, litres) };
}

const countedLitres = (litres: Decimal): string => `${groupedNumber(canonicalText(litres))} L`;

const refused = (rule: string, detail: string, named: string): ProblemException =>
  new ProblemException('conflict', detail, {
    errors: [{ pointer: '/returnOf', rule, detail }],
    members: { movement: named },
  });
