import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible';

/** A caller's allowance after a request was counted. */
export interface Allowance {
  readonly allowed: boolean;
  readonly limit: number;
  readonly remaining: number;
  /** Seconds until all requests are allowed again. */
  readonly resetS: number;
}

const WINDOW_S = 60;

/** Counts the requests of each caller in windows of a minute; the counts are kept in this process. */
export class RateLimiter {
  readonly #limiter: RateLimiterMemory;

  constructor(private readonly perMinute: number) {
    this.#limiter = new RateLimiterMemory({ points: perMinute, duration: WINDOW_S });
  }

  /** Counts one request of a caller. */
  async take(caller: string): Promise<Allowance> {
    const counted = await this.#limiter.consume(caller).catch((refused: unknown) => {
      if (refused instanceof RateLimiterRes) return refused;
      throw refused;
    });
    return {
      allowed: counted.consumedPoints <= this.perMinute,
      limit: this.perMinute,
      remaining: counted.remainingPoints,
      resetS: Math.max(1, Math.ceil(counted.msBeforeNext / 1000)),
    };
  }
}
