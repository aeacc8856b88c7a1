import type { Micro } from '../../src/demo/client/micro.js';

/** Lines of the report that hold only what the script itself counted out or in, in litres. */
export const TALLIED = [
  'received-suspended',
  'released',
  'dispatched-suspended',
  'exported',
  'returned',
  'own-use',
  'theft',
  'premises-moves',
] as const;
export type Tallied = (typeof TALLIED)[number];

const isTallied = (line: string): line is Tallied => (TALLIED as readonly string[]).includes(line);

/** Opening stock of a category, under suspension, in litres. */
export interface Opened {
  readonly category: string;
  readonly litres: Micro;
  readonly fermented: Micro;
  readonly added: Micro;
}

/** Litres by premises, month and line as the script counted them, beside the sums of the service. */
export class Tally {
  readonly #litres = new Map<string, Micro>();
  readonly #operations = new Map<string, number>();

  readonly #opened = new Map<string, Opened[]>();

  /** Stock that was there before the books began. */
  open(premisesId: string, stock: Opened): void {
    this.#opened.set(premisesId, [...this.opened(premisesId), stock]);
  }

  opened(premisesId: string): readonly Opened[] {
    return this.#opened.get(premisesId) ?? [];
  }

  /** As the effect on stock: below zero for what left. */
  add(premisesId: string, month: number, line: string, litres: Micro): void {
    if (isTallied(line)) {
      const key = `${premisesId} ${month} ${line}`;
      this.#litres.set(key, (this.#litres.get(key) ?? 0n) + litres);
    }
  }

  litres(premisesId: string, month: number, line: Tallied): Micro {
    return this.#litres.get(`${premisesId} ${month} ${line}`) ?? 0n;
  }

  /** One more operation there in that month. */
  operation(premisesId: string, month: number): void {
    const key = `${premisesId} ${month}`;
    this.#operations.set(key, this.operations(premisesId, month) + 1);
  }

  operations(premisesId: string, month: number): number {
    return this.#operations.get(`${premisesId} ${month}`) ?? 0;
  }
}
