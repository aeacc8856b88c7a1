import { parentPort, workerData } from 'node:worker_threads';
import type { PrintProgress } from '../render/pdf-maker.js';
import { makePdf } from '../render/pdf-maker.js';
import type { PrintJob } from './print-job.js';
import { definitionOf } from './print-job.js';

// The thread in which one document is printed; it ends with it.

export type PrintMessage = { readonly progress: PrintProgress } | { readonly pdf: Uint8Array };

const EVERY_MS = 100;
let lastAt = 0;
const pdf = await makePdf(definitionOf(workerData as PrintJob), (progress) => {
  const now = performance.now();
  if (now - lastAt >= EVERY_MS) {
    lastAt = now;
    parentPort?.postMessage({ progress } satisfies PrintMessage);
  }
});
parentPort?.postMessage({ pdf } satisfies PrintMessage);
