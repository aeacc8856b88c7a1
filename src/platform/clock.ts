import { Injectable } from '@nestjs/common';

/** The source of the present time. Everything that needs it is given a clock, so that a simulation can use its own time. */
export abstract class Clock {
  abstract now(): Date;
}

/** The machine's own time. */
@Injectable()
export class SystemClock extends Clock {
  override now(): Date {
    return new Date();
  }
}

/** A clock that stands still until it is moved, never backwards. */
export class SteppableClock extends Clock {
  #nowMs: number;

  constructor(start: Date) {
    super();
    this.#nowMs = SteppableClock.#millisecondsOf(start);
  }

  override now(): Date {
    return new Date(this.#nowMs);
  }

  /** Moves to `instant`; refuses one before the present one, because recorded times have to grow. */
  set(instant: Date): void {
    const next = SteppableClock.#millisecondsOf(instant);
    if (next < this.#nowMs) {
      throw new RangeError('A clock does not run backwards.');
    }
    this.#nowMs = next;
  }

  advance(milliseconds: number): void {
    this.set(new Date(this.#nowMs + milliseconds));
  }

  static #millisecondsOf(instant: Date): number {
    const milliseconds = instant.getTime();
    if (!Number.isFinite(milliseconds)) {
      throw new RangeError('A clock needs a valid date.');
    }
    return milliseconds;
  }
}
