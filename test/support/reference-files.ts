import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';

function textOf(path: string): string {
  return readFileSync(new URL(`../reference/${path}`, import.meta.url), 'utf8');
}

/** A JSON file under test/reference; the caller names its shape. */
export function readReferenceJson<T>(path: string): T {
  return JSON.parse(textOf(path)) as T;
}

/** The rows of a CSV file under test/reference, by column name. */
export function readReferenceCsv(path: string): Record<string, string>[] {
  return parse<Record<string, string>>(textOf(path), { columns: true, skip_empty_lines: true });
}
