import { createHash } from 'node:crypto';
import { createReadStream, createWriteStream } from 'node:fs';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { finished } from 'node:stream/promises';
import { createGunzip, createGzip } from 'node:zlib';
import { DatabaseError, errorMessage } from '../connection.js';

// A backup is a gzip of lines of JSON: the head, rows table by table, and an end that holds their number and the SHA-256 of all lines before it.

export interface TableShape {
  readonly name: string;
  /** `name type`, in the table's order. */
  readonly columns: readonly string[];
}

export interface BackupHead {
  readonly format: 'gaugebook-backup';
  readonly version: 1;
  readonly program: string;
  readonly madeAt: string;
  /** Names of the migrations that the tables were made by. */
  readonly migrations: readonly string[];
  readonly tables: readonly TableShape[];
}

/** Rows of one table, each as the text of a row of PostgreSQL. */
export interface BackupRows {
  readonly table: string;
  readonly rows: readonly string[];
}

interface BackupEnd {
  readonly rows: number;
  readonly sha256: string;
}

/** Writes the lines one after another; nothing is a backup before `end` was written. */
export class BackupWriter {
  readonly #gzip = createGzip();
  readonly #hash = createHash('sha256');
  readonly #written: Promise<void>;
  #rows = 0;

  /** @param file must not exist */
  constructor(file: string) {
    const output = createWriteStream(file, { flags: 'wx', mode: 0o600 });
    this.#written = finished(this.#gzip.pipe(output));
    // Without it a failure before anybody waits would end the program.
    this.#written.catch(() => undefined);
    output.once('error', (error) => this.#gzip.destroy(error));
  }

  head(head: BackupHead): Promise<void> {
    return this.#line(head);
  }

  rows(rows: BackupRows): Promise<void> {
    this.#rows += rows.rows.length;
    return this.#line(rows);
  }

  /** Answers with the number of rows. */
  async end(): Promise<number> {
    const end: BackupEnd = { rows: this.#rows, sha256: this.#hash.digest('hex') };
    this.#gzip.end(`${JSON.stringify(end)}\n`);
    await this.#written;
    return this.#rows;
  }

  /** After a failure: lets the file go. */
  async abandon(): Promise<void> {
    this.#gzip.destroy();
    await this.#written.catch(() => undefined);
  }

  async #line(value: BackupHead | BackupRows): Promise<void> {
    const line = `${JSON.stringify(value)}\n`;
    this.#hash.update(line);
    if (!this.#gzip.write(line)) await Promise.race([once(this.#gzip, 'drain'), this.#written]);
  }
}

/**
 * Reads a backup whole: its head first, then its rows.
 * @throws DatabaseError where it is not whole, was changed, or is none
 */
export async function* readBackup(file: string): AsyncGenerator<BackupHead | BackupRows> {
  const hash = createHash('sha256');
  const input = createReadStream(file);
  const text = createGunzip();
  input.once('error', (error) => text.destroy(error));
  const lines = createInterface({ input: input.pipe(text), crlfDelay: Infinity });
  let rows = 0;
  let first = true;
  let end: BackupEnd | undefined;
  try {
    for await (const line of lines) {
      if (end !== undefined) throw new DatabaseError(`${file} goes on after its end.`);
      const value = JSON.parse(line) as BackupHead | BackupRows | BackupEnd;
      if (first && !('format' in value && value.format === 'gaugebook-backup' && value.version === 1)) {
        throw new DatabaseError(`${file} is no backup of this program.`);
      }
      first = false;
      if ('sha256' in value) {
        end = value;
        continue;
      }
      hash.update(`${line}\n`);
      if ('rows' in value) rows += value.rows.length;
      yield value;
    }
  } catch (error) {
    if (error instanceof DatabaseError) throw error;
    throw new DatabaseError(`${file} cannot be read: ${errorMessage(error)}.`, { cause: error });
  }
  if (end === undefined) throw new DatabaseError(`${file} is not whole: its end is missing.`);
  if (end.rows !== rows || end.sha256 !== hash.digest('hex')) throw new DatabaseError(`${file} was changed.`);
}
