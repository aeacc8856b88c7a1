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
