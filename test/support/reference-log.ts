import { mkdirSync, writeFileSync } from 'node:fs';

const OUTPUT = new URL('../../.cache/reference/', import.meta.url);

export interface ReferenceRecord {
  /** Name of the published table; one record is kept for each name. */
  readonly table: string;
  /** Number of published figures that were compared. */
  readonly rows: number;
  readonly largestDeviation: number;
  /** What the test allows, in the same unit as the deviation. */
  readonly tolerance: number;
  /** Places that a stated tolerance is printed with, where deviations are compared in these places. */
  readonly places?: number;
  readonly unit: string;
  readonly source: string;
  readonly note?: string;
}

/** Prints one line for a published table that was read, and keeps it for the reference page of the documentation. */
export function recordReference(record: ReferenceRecord): void {
  console.info(
    `[reference] ${record.table}: rows=${record.rows}, largest deviation=${Number(record.largestDeviation.toPrecision(3))} ${record.unit}`,
  );
  const slug = record.table
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
  mkdirSync(OUTPUT, { recursive: true });
  writeFileSync(new URL(`${slug}.json`, OUTPUT), `${JSON.stringify(record, null, 2)}\n`);
}

/** Deviation in so many places, halves up: 0.00805 is 0.008 where the stated tolerance is printed as 0.008. */
export function inPlaces(deviation: number, places: number | undefined): number {
  return places === undefined ? deviation : Math.round(deviation * 10 ** places) / 10 ** places;
}

/** Collects the comparisons of one table: counts them and keeps the largest deviation. */
export class Comparison {
  rows = 0;
  largestDeviation = 0;

  /** Notes one figure, and returns its deviation. */
  add(computed: number, published: number): number {
    const deviation = Math.abs(computed - published);
    if (!Number.isFinite(deviation)) throw new Error(`no comparison of ${computed} with ${published}`);
    this.rows += 1;
    this.largestDeviation = Math.max(this.largestDeviation, deviation);
    return deviation;
  }
}
