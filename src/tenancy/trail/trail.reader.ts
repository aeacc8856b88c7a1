import { Injectable } from '@nestjs/common';
import type { Page, PageQuery } from '../../platform/pagination.js';
import { decodeCursor, pageOf } from '../../platform/pagination.js';
import type { RequestContext } from '../producer-database/context.js';
import type { Tx } from '../producer-database/producer-database.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';
import type { TrailCheck, TrailEntry, TrailFault, TrailHead } from './trail.dto.js';

interface FaultRow {
  entry: bigint | null;
  place: string;
  problem: string;
  details: Record<string, unknown> | null;
}

const MOST_FAULTS = 100;
/** Entries that are checked at once. */
const CHECK_CHUNK = 2_000;
/** No trail is as long: rows that say they were written by an entry that is not there come into the last part. */
const BEYOND_ANY = 2n ** 63n - 1n;
/** Entries of one read of an export. */
const EXPORT_CHUNK = 500;

const toTrailFault = ({ entry, place, problem, details }: FaultRow): TrailFault => ({
  entry: Number(entry ?? 0),
  place,
  problem,
  details: details ?? {},
});

/** Reads the audit trail and checks it against what is kept. */
@Injectable()
export class TrailReader {
  constructor(private readonly database: ProducerDatabase) {}

  async list(ctx: RequestContext, query: PageQuery): Promise<Page<TrailEntry>> {
    const after = query.cursor === undefined ? 0 : Number(decodeCursor('trail', query.cursor, ['number'])[0]);
    const rows = await this.entries(ctx, after, query.limit + 1);
    return pageOf(
      'trail',
      rows,
      query.limit,
      (row) => [row.sequence],
      (row) => row,
    );
  }

  async head(ctx: RequestContext): Promise<TrailHead> {
    const { trailSequence, trailHash } = await this.database.read(ctx, (tx) =>
      tx.rowThere('producerHead', { producerId: ctx.producerId }),
    );
    return { sequence: Number(trailSequence), entryHash: Buffer.from(trailHash).toString('hex') };
  }

  /** The entries after a sequence, one line of JSON each, up to the last one at the start of the export. Entries never change, so the chunks are of one state. */
  async *lines(ctx: RequestContext, after: number): AsyncGenerator<string> {
    const { trailSequence } = await this.database.read(ctx, (tx) =>
      tx.rowThere('producerHead', { producerId: ctx.producerId }),
    );
    const last = Number(trailSequence);
    for (let from = after; from < last;) {
      const rows = await this.entries(ctx, from, Math.min(EXPORT_CHUNK, last - from));
      if (rows.length === 0) {
        return;
      }
      yield rows.map((row) => `${JSON.stringify(row)}\n`).join('');
      from = rows[rows.length - 1].sequence;
    }
  }

  private entries(ctx: RequestContext, after: number, take: number): Promise<TrailEntry[]> {
    return this.database.read(
      ctx,
      (tx) => tx.$queryRaw<TrailEntry[]>`
        SELECT sequence::float8 AS sequence, version,
               to_char(recorded_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') AS "recordedAt",
               encode(previous_hash, 'hex') AS "previousHash", encode(body_hash, 'hex') AS "bodyHash",
               encode(entry_hash, 'hex') AS "entryHash", body
          FROM trail_entry
         WHERE producer_id = ${ctx.producerId}::uuid AND sequence > ${after}
         ORDER BY sequence LIMIT ${take}`,
    );
  }

  /** Checks the trail in parts, each in its own transaction, since a long trail takes longer than one transaction may. */
  async check(ctx: RequestContext): Promise<TrailCheck> {
    const { producerId } = ctx;
    // Only the owner of the database can have removed the head row; the faults report it.
    const head = await this.database.read(ctx, (tx) => tx.row('producerHead', { producerId }));
    const last = Number(head?.trailSequence ?? 0);
    const faults: TrailFault[] = [];
    for (let from = 1; faults.length < MOST_FAULTS; from += CHECK_CHUNK) {
      const isLast = from + CHECK_CHUNK > last;
      const until = isLast ? BEYOND_ANY : BigInt(from + CHECK_CHUNK - 1);
      faults.push(...(await this.database.read(ctx, (tx) => this.#part(tx, producerId, BigInt(from), until))));
      if (isLast) break;
    }
    faults.push(...(await this.database.read(ctx, (tx) => this.#whole(tx, producerId))));
    return {
      holds: faults.length === 0,
      entries: last,
      head: Buffer.from(head?.trailHash ?? new Uint8Array(32)).toString('hex'),
      ...(head === undefined ? {} : { lastRecordedAt: head.recordedAt.toISOString() }),
      faults: faults.slice(0, MOST_FAULTS),
    };
  }

  /** Faults from an entry on: of the chain, of the stored rows against the bodies of their entries, and of the sums of the books. */
  async faults(tx: Tx, producerId: string, from: bigint): Promise<TrailFault[]> {
    const rows = await tx.$queryRaw<FaultRow[]>`
      SELECT * FROM (
        SELECT entry, place, problem, details FROM check_trail(${producerId}::uuid, ${from})
        UNION ALL
        SELECT NULL, place, problem, details FROM check_balances(${producerId}::uuid)) AS f
      LIMIT ${MOST_FAULTS}`;
    return rows.map(toTrailFault);
  }

  async #part(tx: Tx, producerId: string, from: bigint, until: bigint): Promise<TrailFault[]> {
    const rows = await tx.$queryRaw<FaultRow[]>`
      SELECT entry, place, problem, details FROM check_trail_part(${producerId}::uuid, ${from}, ${until}) LIMIT ${MOST_FAULTS}`;
    return rows.map(toTrailFault);
  }

  async #whole(tx: Tx, producerId: string): Promise<TrailFault[]> {
    const rows = await tx.$queryRaw<FaultRow[]>`
      SELECT * FROM (
        SELECT entry, place, problem, details FROM check_head(${producerId}::uuid)
        UNION ALL
        SELECT entry, place, problem, details FROM check_unsaid(${producerId}::uuid)
        UNION ALL
        SELECT NULL, place, problem, details FROM check_balances(${producerId}::uuid)) AS f
      LIMIT ${MOST_FAULTS}`;
    return rows.map(toTrailFault);
  }
}
