import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { Printing } from './pdf-queue.js';
import type { PrintState } from './print-state.dto.js';

const ASK_AGAIN_AFTER_S = '1';

/** 200 with where to fetch it once it is ready, 202 before. */
export function printStateAnswer({ pdf, progress }: Printing, path: string): Answer<PrintState> {
  const { stage, pagesLaidOut, shareDrawn } = progress;
  return pdf === undefined
    ? new Answer<PrintState>(202, { stage, pagesLaidOut, shareDrawn }, { 'retry-after': ASK_AGAIN_AFTER_S })
    : new Answer<PrintState>(200, {
        stage: 'ready',
        pagesLaidOut,
        shareDrawn: 1,
        document: path,
        sizeBytes: pdf.byteLength,
      });
}
