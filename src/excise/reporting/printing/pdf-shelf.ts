const MAX_BYTES = 64 * 1024 * 1024;

interface ShelfKey {
  readonly producerId: string;
  readonly document: string;
}

interface Kept<Value> {
  readonly producerId: string;
  readonly value: Value;
  readonly bytes: number;
}

const nameOf = ({ producerId, document }: ShelfKey): string => `${producerId}/${document}`;

/** Keeps the latest version of each printed document until the room is needed; the producer that takes most of it gives up its oldest first. */
export class PdfShelf<Value> {
  /** In the order of their last use. */
  readonly #kept = new Map<string, Kept<Value>>();

  get(key: ShelfKey): Value | undefined {
    const name = nameOf(key);
    const kept = this.#kept.get(name);
    if (kept !== undefined) {
      this.#kept.delete(name);
      this.#kept.set(name, kept);
    }
    return kept?.value;
  }

  /** The newest stays however large it is. */
  put(key: ShelfKey, value: Value, bytes: number): void {
    const newest = nameOf(key);
    this.#kept.delete(newest);
    this.#kept.set(newest, { producerId: key.producerId, value, bytes });
    const taken = new Map<string, number>();
    for (const each of this.#kept.values()) {
      taken.set(each.producerId, (taken.get(each.producerId) ?? 0) + each.bytes);
    }
    let total = [...taken.values()].reduce((sum, each) => sum + each, 0);
    while (total > MAX_BYTES && this.#kept.size > 1) {
      const [most] = [...taken].sort(([, a], [, b]) => b - a);
      const oldest = [...this.#kept].find(([name, { producerId }]) => name !== newest && producerId === most[0]);
      if (oldest === undefined) {
        taken.delete(most[0]);
        continue;
      }
      const [name, { bytes: freed }] = oldest;
      this.#kept.delete(name);
      taken.set(most[0], most[1] - freed);
      total -= freed;
    }
  }
}
