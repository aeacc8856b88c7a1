import type { MessagePort } from 'node:worker_threads';
import type { PdfDefinition } from '../render/pdf-maker.js';

/** A document to print, as plain data: it goes to another thread. */
export interface PrintJob<Input = unknown> {
  readonly producerId: string;
  /** Kind and id: what replaces an earlier version of the same document. */
  readonly document: string;
  /** Text that changes whenever the document does. */
  readonly version: string;
  /** SHA-256 of the document's bytes, hexadecimal. */
  readonly documentHash: string;
  /** Address of the compiled module that sets the pages; it exports `definition`. */
  readonly module: string;
  readonly input: Input;
}

/** Module that sets the pages of a document. */
export interface PagesModule {
  definition(input: unknown): PdfDefinition;
}

/** A task of the printing thread. */
export interface PrintTask {
  readonly module: string;
  readonly input: unknown;
  readonly progress: MessagePort;
}
