import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

const WARM_UP = 128;
const FNV_OFFSET = 2166136261;
const FNV_PRIME = 16777619;

/** A whole number of a name (FNV-1a, 32 bits), so that each story throws dice of its own. */
const numberOf = (name: string): number =>
  [...name].reduce((hash, letter) => Math.imul(hash ^ letter.charCodeAt(0), FNV_PRIME), FNV_OFFSET);

/** Seeded chance: the same seed gives the same two years. */
export class Dice {
  readonly #generator;

  constructor(private readonly seed: number) {
    this.#generator = xoroshiro128plus(seed | 0);
    for (let n = 0; n < WARM_UP; n += 1) this.#generator.next();
  }

  /** Dice that fall independently of how often others were thrown. */
  of(name: string): Dice {
    return new Dice(this.seed ^ numberOf(name));
  }

  /** From `least` to `most`, both possible. */
  whole(least: number, most: number): number {
    return uniformInt(this.#generator, least, most);
  }

  /** With so many decimals, as a person reads a scale. */
  decimal(least: number, most: number, places: number): number {
    const scale = 10 ** places;
    return this.whole(Math.round(least * scale), Math.round(most * scale)) / scale;
  }

  percent(chance: number): boolean {
    return this.whole(1, 100) <= chance;
  }

  pick<T>(from: readonly T[]): T {
    return from[this.whole(0, from.length - 1)];
  }
}
