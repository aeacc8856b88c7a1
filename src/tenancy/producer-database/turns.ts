/** The longest wait for a turn. */
const LONGEST_WAIT_MS = 10_000;

/** A turn that did not come in time, with PostgreSQL's code for a lock that is not free: answered 503. */
class NoTurn extends Error {
  readonly code = '55P03';
  constructor() {
    super(`Other requests of the producer were under way for ${LONGEST_WAIT_MS / 1000} s.`);
  }
}

interface Queue {
  running: number;
  readonly waiting: (() => void)[];
}

/** Limits how much of one producer is done at once in this process, in the order in which it was asked for. Producers do not wait for one another. */
export class Turns {
  readonly #queues = new Map<string, Queue>();

  constructor(private readonly atOnce: number) {}

  /** @throws Error that is answered 503, where the turn does not come in time */
  async run<R>(producerId: string, work: () => Promise<R>): Promise<R> {
    const queue = this.#queues.get(producerId) ?? { running: 0, waiting: [] };
    this.#queues.set(producerId, queue);
    if (queue.running < this.atOnce) {
      queue.running += 1;
    } else {
      await turnOf(queue);
    }
    try {
      return await work();
    } finally {
      this.#next(producerId, queue);
    }
  }

  /** Hands the turn on, so that nobody who comes now gets before those who wait. */
  #next(producerId: string, queue: Queue): void {
    const next = queue.waiting.shift();
    if (next !== undefined) {
      next();
      return;
    }
    queue.running -= 1;
    if (queue.running === 0) {
      this.#queues.delete(producerId);
    }
  }
}

const turnOf = (queue: Queue): Promise<void> =>
  new Promise((resolve, reject) => {
    const go = (): void => {
      clearTimeout(overdue);
      resolve();
    };
    const overdue = setTimeout(() => {
      queue.waiting.splice(queue.waiting.indexOf(go), 1);
      reject(new NoTurn());
    }, LONGEST_WAIT_MS);
    queue.waiting.push(go);
  });
