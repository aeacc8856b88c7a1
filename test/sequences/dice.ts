import type { Step } from './step.js';

/** A seeded source of chances: mulberry32, so that a sequence that fails can be run again. */
export function chances(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** A step that could come next, and how much it is wanted. */
export type Wish = readonly [weight: number, make: () => Step];

/** What a choice is made with. */
export class Dice {
  constructor(private readonly chance: () => number) {}
  is(probability: number): boolean {
    return this.chance() < probability;
  }
  below(limit: number): number {
    return Math.floor(this.chance() * limit);
  }
  pick<T>(list: readonly T[]): T {
    return list[this.below(list.length)];
  }
  /** Between the two, never 0, with as many places. */
  litres(low: number, high: number, places = this.pick([1, 1, 3, 6])): string {
    const text = (low + this.chance() * (high - low)).toFixed(places);
    return Number(text) > 0 ? text : '0.001';
  }
  among(wishes: readonly Wish[]): Step {
    let rest = this.chance() * wishes.reduce((sum, [weight]) => sum + weight, 0);
    for (const [weight, make] of wishes) {
      rest -= weight;
      if (rest < 0) return make();
    }
    return wishes[wishes.length - 1][1]();
  }
}
