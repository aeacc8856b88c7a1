import type { OnModuleDestroy } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import { fileURLToPath } from 'node:url';
import { MessageChannel } from 'node:worker_threads';
import { Piscina } from 'piscina';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { PrintProgress } from '../render/pdf-maker.js';
import { PdfShelf } from './pdf-shelf.js';
import type { PrintJob, PrintTask } from './print-job.js';

const THREAD = fileURLToPath(new URL('./print-thread.js', import.meta.url));
/** One document of 10,000 postings took 0.74 GB; a document that needs far more fails alone, the service goes on. */
const MAX_MEMORY_MB = 2048;
const IDLE_MS = 10_000;
const MAX_WAITING_OF_ONE_PRODUCER = 16;

/** A PDF with the hash of the document that it was made of. */
export interface PrintedDocument {
  readonly pdf: Buffer;
  readonly documentHash: string;
}

/** A document that waits, is being printed, or is ready. */
export interface Printing {
  readonly progress: PrintProgress;
  /** Its bytes once it is ready. */
  readonly pdf?: Buffer;
  readonly done: Promise<PrintedDocument>;
}

export type PrintKey = Pick<PrintJob, 'producerId' | 'document' | 'version'>;

/** One entry of the queue. A newer version takes the place of one that still waits, and is what those who wait for it get. */
class Entry implements Printing {
  progress: PrintProgress = { stage: 'waiting', pagesLaidOut: 0, shareDrawn: 0 };
  pdf?: Buffer;
  readonly done: Promise<PrintedDocument>;
  resolve: (printed: PrintedDocument) => void = () => undefined;
  reject: (reason: unknown) => void = () => undefined;

  constructor(public job: PrintJob) {
    this.done = new Promise((resolve, reject) => {
      this.resolve = resolve;
      this.reject = reject;
    });
    // Nobody may be waiting: the state of printing is asked for now and then.
    this.done.catch(() => undefined);
  }

  is({ producerId, document, version }: PrintKey): boolean {
    return this.job.producerId === producerId && this.job.document === document && this.job.version === version;
  }
}

/**
 * Prints documents in a thread of their own, one after another, so that a long one does not hold up the service.
 * Producers take turns. Each has at most one waiting entry a document, and a limit of its own, so that no producer is refused for the load of another.
 */
@Injectable()
export class PdfQueue implements OnModuleDestroy {
  readonly #threads = new Piscina({
    filename: THREAD,
    minThreads: 0,
    maxThreads: 1,
    idleTimeout: IDLE_MS,
    resourceLimits: { maxOldGenerationSizeMb: MAX_MEMORY_MB },
  });
  /** By producer in the order of their turns, then by document in the order in which they were asked for. */
  readonly #waiting = new Map<string, Map<string, Entry>>();
  readonly #ready = new PdfShelf<Entry>();
  #running: Entry | undefined;

  /** The entry of this version of a document. */
  find(key: PrintKey): Printing | undefined {
    const waiting = this.#waiting.get(key.producerId)?.get(key.document);
    return [this.#ready.get(key), this.#running, waiting].find((each) => each?.is(key) === true);
  }

  /**
   * Puts a document into the queue, unless this version of it is there.
   * @throws ProblemException `rate-limited` where too many documents of this producer wait
   */
  print(job: PrintJob): Printing {
    const known = this.find(job);
    if (known !== undefined) {
      return known;
    }
    const own = this.#waiting.get(job.producerId) ?? new Map<string, Entry>();
    const waiting = own.get(job.document);
    if (waiting !== undefined) {
      waiting.job = job;
      return waiting;
    }
    if (own.size >= MAX_WAITING_OF_ONE_PRODUCER) {
      throw new ProblemException(
        'rate-limited',
        `${own.size} of your documents wait to be printed already. Fetch those first, then ask for this one again.`,
        { headers: { 'retry-after': '10' } },
      );
    }
    const entry = new Entry(job);
    own.set(job.document, entry);
    this.#waiting.set(job.producerId, own);
    this.#startNext();
    return entry;
  }

  async onModuleDestroy(): Promise<void> {
    this.#waiting.clear();
    await this.#threads.destroy();
  }

  #startNext(): void {
    const entry = this.#running === undefined ? this.#takeNext() : undefined;
    if (entry === undefined) {
      return;
    }
    this.#running = entry;
    void this.#printed(entry)
      .then((printed) => {
        entry.pdf = printed.pdf;
        this.#ready.put(entry.job, entry, printed.pdf.byteLength);
        entry.resolve(printed);
      }, entry.reject)
      .finally(() => {
        this.#running = undefined;
        this.#endTurn(entry.job.producerId);
        this.#startNext();
      });
  }

  #takeNext(): Entry | undefined {
    for (const [producerId, own] of this.#waiting) {
      for (const [document, entry] of own) {
        own.delete(document);
        if (own.size === 0) {
          this.#waiting.delete(producerId);
        }
        return entry;
      }
    }
    return undefined;
  }

  /** At the end of the document and not at its start: whoever asked meanwhile comes before a second one of the same producer. */
  #endTurn(producerId: string): void {
    const own = this.#waiting.get(producerId);
    if (own !== undefined) {
      this.#waiting.delete(producerId);
      this.#waiting.set(producerId, own);
    }
  }

  async #printed(entry: Entry): Promise<PrintedDocument> {
    const { module, input, documentHash } = entry.job;
    const { port1, port2 } = new MessageChannel();
    port1.on('message', (progress: PrintProgress) => (entry.progress = progress));
    port1.unref();
    const task: PrintTask = { module, input, progress: port2 };
    try {
      const pdf = (await this.#threads.run(task, { transferList: [port2] })) as Uint8Array;
      return { pdf: Buffer.from(pdf.buffer, pdf.byteOffset, pdf.byteLength), documentHash };
    } finally {
      port1.close();
    }
  }
}
