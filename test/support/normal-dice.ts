import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** Seeded deviates for simulations, independent of the library's own: normal ones by the method of Box and Muller. */
export class NormalDice {
  private readonly generator: ReturnType<typeof xoroshiro128plus>;

  constructor(seed: number) {
    this.generator = xoroshiro128plus(seed);
    for (let i = 0; i < 128; i += 1) this.generator.next();
  }

  uniform(from = 0, to = 1): number {
    return from + (to - from) * uniformFloat64(this.generator);
  }

  whole(from: number, to: number): number {
    return Math.floor(this.uniform(from, to + 1));
  }

  normal(mean = 0, standard = 1): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    return mean + standard * radius * Math.cos(2 * Math.PI * this.uniform());
  }
}
