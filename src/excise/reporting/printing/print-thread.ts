import { makePdf } from '../render/pdf-maker.js';
import type { PagesModule, PrintTask } from './print-job.js';

const EVERY_MS = 100;

/** Prints one document in the thread that runs this; the progress is sent at most ten times a second. */
export default async function print({ module, input, progress }: PrintTask): Promise<Uint8Array> {
  const { definition } = (await import(module)) as PagesModule;
  let lastAt = 0;
  try {
    return await makePdf(definition(input), (each) => {
      const now = performance.now();
      if (now - lastAt >= EVERY_MS) {
        lastAt = now;
        progress.postMessage(each);
      }
    });
  } finally {
    progress.close();
  }
}
