import { Answer } from '../producer-database/batch.js';
import { etagOf } from './settings-store.js';

/** A plain record as it is read, with its ETag. */
export const tagged = <T extends { version: number }>(body: T): Answer<T> =>
  new Answer(200, body, { etag: etagOf(body.version) });
