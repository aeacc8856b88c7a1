/** What a caller has left. */
export interface Allowance {
  readonly allowed: boolean;
  readonly limit: number;
  readonly remaining: number;
  /** Seconds until everything is allowed again. */
  readonly resetS: number;
  /** Seconds until one more request is allowed. */
  readonly retryAfterS: number;
}

interface Bucket {
  tokens: number;
  at: number;
}

/** A token bucket a caller, kept in this process: refilled evenly over a minute. */
export class RateLimiter {
  readonly #buckets = new Map<string, Bucket>();

  constructor(
    private readonly perMinute: number,
    private readonly mostCallers = 50_000,
  ) {}

  take(caller: string, nowMs: number): Allowance {
    const bucket = this.#refilled(caller, nowMs);
    const allowed = bucket.tokens >= 1;
    if (allowed) {
      bucket.tokens -= 1;
    }
    return this.#allowance(bucket, allowed);
  }

  /** Looks without taking. */
  look(caller: string, nowMs: number): Allowance {
    const bucket = this.#refilled(caller, nowMs);
    return this.#allowance(bucket, bucket.tokens >= 1);
  }

  #allowance(bucket: Bucket, allowed: boolean): Allowance {
    return {
      allowed,
      limit: this.perMinute,
      remaining: Math.floor(bucket.tokens),
      resetS: Math.ceil(((this.perMinute - bucket.tokens) * 60) / this.perMinute),
      retryAfterS: allowed ? 0 : Math.max(1, Math.ceil(((1 - bucket.tokens) * 60) / this.perMinute)),
    };
  }

  #refilled(caller: string, nowMs: number): Bucket {
    const bucket = this.#buckets.get(caller) ?? { tokens: this.perMinute, at: nowMs };
    bucket.tokens = Math.min(
      this.perMinute,
      bucket.tokens + (Math.max(0, nowMs - bucket.at) * this.perMinute) / 60_000,
    );
    bucket.at = nowMs;
    this.#buckets.delete(caller);
    this.#buckets.set(caller, bucket);
    if (this.#buckets.size > this.mostCallers) {
      const oldest = this.#buckets.keys().next().value;
      if (oldest !== undefined) {
        this.#buckets.delete(oldest);
      }
    }
    return bucket;
  }
}
