/** A figure of the service that is not what it should be. */
export class FigureOff extends Error {
  override readonly name = 'FigureOff';

  constructor(figure: string, found: string, expected: string) {
    super(`${figure} is off: the service says ${found}, expected is ${expected}.`);
  }
}

/** Counts what was compared, and stops at the first figure that is off. */
export class Checks {
  #count = 0;

  get count(): number {
    return this.#count;
  }

  /** To the last decimal. @throws FigureOff */
  same(figure: string, found: unknown, expected: unknown): void {
    this.#count += 1;
    if (!Object.is(found, expected)) {
      throw new FigureOff(figure, String(found), String(expected));
    }
  }

  /** @throws FigureOff */
  near(figure: string, found: number, expected: number, tolerance: number): void {
    this.#count += 1;
    if (!(Math.abs(found - expected) <= tolerance)) {
      throw new FigureOff(figure, String(found), `${expected} ± ${tolerance}`);
    }
  }

  /** @throws FigureOff */
  between(figure: string, found: number, least: number, most: number): void {
    this.#count += 1;
    if (!(found >= least && found <= most)) {
      throw new FigureOff(figure, String(found), `between ${least} and ${most}`);
    }
  }
}
