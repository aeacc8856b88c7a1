/** Letters that may be wrong in a name: one in a short name, two in a longer one. */
const allowedEdits = (name: string): number => (name.length <= 5 ? 1 : 2);

/**
 * The known name that `name` is a misspelling of: other case, or a keystroke or two away (a letter more, less, other or swapped with
 * its neighbour). Undefined for a known name itself and for one that resembles none.
 */
export function misspelledName<Name extends string>(name: string, known: readonly Name[]): Name | undefined {
  if ((known as readonly string[]).includes(name)) return undefined;
  const upper = name.toUpperCase();
  return known.find((candidate) => editDistance(upper, candidate) <= allowedEdits(candidate));
}

/** Optimal string alignment distance: insertions, deletions, substitutions and swaps of neighbours, each counted one. */
export function editDistance(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const substitution = rows[i - 1][j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1);
      let least = Math.min(rows[i - 1][j] + 1, row[j - 1] + 1, substitution);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, rows[i - 2][j - 2] + 1);
      row.push(least);
    }
    rows.push(row);
  }
  return rows[a.length][b.length];
}

/** A name without its capitals, hyphens and other marks. */
const plain = (name: string): string => name.toLowerCase().replaceAll(/[^a-z0-9%]/g, '');

/** Names that people use, and those that are known here. */
const MEANT: Readonly<Record<string, readonly string[]>> = {
  brix: ['plato'],
  bx: ['plato'],
  balling: ['plato'],
  sg: ['sg-20-20'],
  specificgravity: ['sg-20-20'],
  og: ['originalGravity'],
  fg: ['finalGravity'],
  abv: ['strength', 'declaredStrength'],
  date: ['occurredAt', 'takenAt', 'startsOn'],
  time: ['occurredAt', 'takenAt'],
  enddate: ['endsBefore'],
  startdate: ['startsOn'],
  reason: ['reasonCode'],
  quantity: ['volume', 'mass', 'count'],
  amount: ['volume', 'mass', 'count'],
  sale: ['release'],
  sold: ['release'],
  breakage: ['accidental-loss'],
  spillage: ['accidental-loss'],
  spill: ['accidental-loss'],
  loss: ['accidental-loss', 'process-loss'],
  destroyed: ['destruction'],
  stolen: ['theft'],
  yeast: ['other'],
  enzyme: ['other'],
  hops: ['flavouring', 'other'],
  water: ['chase-water'],
};

const firstWord = (name: string): string => /^[a-z]+/.exec(name)?.[0] ?? '';

/**
 * The known name that is probably meant by `name`: the same in other letters, one that people call so, a misspelling, or the only one that
 * begins with the same word. Undefined for a known name and where none is likely.
 */
export function likelyName(name: string, known: readonly string[]): string | undefined {
  if (name.length > 60 || known.includes(name)) return undefined;
  const written = plain(name);
  const same = known.find((each) => plain(each) === written);
  if (same !== undefined) return same;
  const called = (Object.hasOwn(MEANT, written) ? MEANT[written] : []).find((each) => known.includes(each));
  if (called !== undefined) return called;
  const [nearest] = known
    .map((each) => ({ each, edits: editDistance(written, plain(each)) }))
    .filter(({ each, edits }) => edits <= (each.length <= 3 ? 0 : allowedEdits(each)))
    .sort((a, b) => a.edits - b.edits);
  if (nearest !== undefined) return nearest.each;
  const begun = firstWord(name).length < 4 ? [] : known.filter((each) => firstWord(each) === firstWord(name));
  return begun.length === 1 ? begun[0] : undefined;
}
