import { Injectable } from '@nestjs/common';

/** Resolves when a part is ready, rejects when it is not. */
export type ReadinessCheck = () => Promise<void>;

export interface ReadinessReport {
  readonly ready: boolean;
  readonly checks: Readonly<Record<string, 'up' | 'down'>>;
}

/** A check that takes longer counts as down. */
const CHECK_TIMEOUT_MS = 2_000;

/** Tells if the service can take work: every registered check succeeds, and the service is not stopping. */
@Injectable()
export class Readiness {
  readonly #checks = new Map<string, ReadinessCheck>();
  #draining = false;

  /** A part adds its check when it starts, under a name of its own. */
  register(name: string, check: ReadinessCheck): void {
    this.#checks.set(name, check);
  }

  /** From now on the service says that it is not ready, while it finishes what it has begun. */
  drain(): void {
    this.#draining = true;
  }

  get draining(): boolean {
    return this.#draining;
  }

  async report(): Promise<ReadinessReport> {
    const names = [...this.#checks.keys()];
    const results = await Promise.all(names.map((name) => this.#isUp(name)));
    const checks = Object.fromEntries(names.map((name, index) => [name, results[index] ? 'up' : 'down'] as const));
    return { ready: !this.#draining && results.every(Boolean), checks };
  }

  async #isUp(name: string): Promise<boolean> {
    let timer: NodeJS.Timeout | undefined;
    const late = new Promise<boolean>((resolve) => {
      timer = setTimeout(() => resolve(false), CHECK_TIMEOUT_MS);
    });
    try {
      const up = (async () => {
        await this.#checks.get(name)?.();
        return true;
      })();
      return await Promise.race([up, late]);
    } catch {
      return false;
    } finally {
      clearTimeout(timer);
    }
  }
}
