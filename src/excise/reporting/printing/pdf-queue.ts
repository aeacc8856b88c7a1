import type { OnModuleDestroy } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { PrintProgress } from '../render/pdf-maker.js';
import { makePdf } from '../render/pdf-maker.js';
import type { PrintJob } from './print-job.js';
import { definitionOf } from './print-job.js';
import type { PrintMessage } from './print-thread.js';

const THREAD = fileURLToPath(new URL('./print-thread.js', import.meta.url));
/** One document of 10,000 postings took 0.74 GB; what takes far more ends alone, not with the service. */
const MOST_MEMORY_MB = 2048;
const MOST_WAITING = 16;
const SHELF_BYTES = 64 * 1024 * 1024;

/** A document that is being printed, or was. */
export interface Printing {
  readonly progress: PrintProgress;
  /** Its bytes once it is ready. */
  readonly pdf?: Buffer;
  readonly done: Promise<Buffer>;
}

interface Held {
  progress: PrintProgress;
  pdf?: Buffer;
  done: Promise<Buffer>;
}

/**
 * Prints documents one after another in a thread of their own, so that a long one does not hold up the service, and keeps the latest of them
 * ready to be fetched. A key stands for one document; what is printed twice has the same bytes.
 */
@Injectable()
export class PdfQueue implements OnModuleDestroy {
  /** In the order of their last use. */
  readonly #held = new Map<string, Held>();
  readonly #threads = new Set<Worker>();
  #last: Promise<unknown> = Promise.resolve();

  /** What is known of a document. */
  find(key: string): Printing | undefined {
    const held = this.#held.get(key);
    if (held !== undefined) {
      this.#held.delete(key);
      this.#held.set(key, held);
    }
    return held;
  }

  /**
   * Puts a document into the queue, unless it is there.
   * @throws ProblemException `rate-limited` where too many wait
   */
  print(key: string, job: PrintJob): Printing {
    const known = this.find(key);
    if (known !== undefined) {
      return known;
    }
    if ([...this.#held.values()].filter(({ pdf }) => pdf === undefined).length >= MOST_WAITING) {
      throw new ProblemException('rate-limited', 'Too many documents wait to be printed.', {
        headers: { 'retry-after': '10' },
      });
    }
    const held: Held = {
      progress: { stage: 'waiting', pagesLaidOut: 0, shareDrawn: 0 },
      done: Promise.resolve(Buffer.of()),
    };
    held.done = this.#last.then(() => this.#made(job, (progress) => (held.progress = progress)));
    this.#last = held.done.catch(() => undefined);
    this.#held.set(key, held);
    void held.done.then(
      (pdf) => {
        held.pdf = pdf;
        this.#clearShelf(key);
      },
      () => this.#held.delete(key),
    );
    return held;
  }

  async onModuleDestroy(): Promise<void> {
    await Promise.all([...this.#threads].map((thread) => thread.terminate()));
  }

  #made(job: PrintJob, onProgress: (progress: PrintProgress) => void): Promise<Buffer> {
    // Run from its sources, as the tests do, there is no compiled thread.
    return existsSync(THREAD) ? this.#inThread(job, onProgress) : makePdf(definitionOf(job), onProgress);
  }

  #inThread(job: PrintJob, onProgress: (progress: PrintProgress) => void): Promise<Buffer> {
    const thread = new Worker(THREAD, { workerData: job, resourceLimits: { maxOldGenerationSizeMb: MOST_MEMORY_MB } });
    this.#threads.add(thread);
    return new Promise<Buffer>((resolve, reject) => {
      thread.on('message', (message: PrintMessage) => {
        if ('pdf' in message) resolve(Buffer.from(message.pdf.buffer, message.pdf.byteOffset, message.pdf.byteLength));
        else onProgress(message.progress);
      });
      thread.on('error', reject);
      thread.on('exit', (code) => reject(new Error(`The document's thread ended with ${code} before it was printed.`)));
    }).finally(() => {
      this.#threads.delete(thread);
    });
  }

  /** Oldest first until the rest fits; the newest stays however large it is. */
  #clearShelf(newest: string): void {
    let bytes = [...this.#held.values()].reduce((sum, { pdf }) => sum + (pdf?.byteLength ?? 0), 0);
    for (const [key, { pdf }] of this.#held) {
      if (bytes <= SHELF_BYTES) break;
      if (pdf === undefined || key === newest) continue;
      this.#held.delete(key);
      bytes -= pdf.byteLength;
    }
  }
}
