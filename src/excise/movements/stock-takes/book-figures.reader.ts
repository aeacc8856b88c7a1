import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { Count } from './counted.js';
import { isMaterialCount, isPackedCount } from './counted.js';
import type { BookFigure, Taken } from './book-figure.js';
import { refused } from './book-figure.js';
import { BulkFigureReader } from './bulk-figure.reader.js';
import { MaterialFigureReader } from './material-figure.reader.js';
import { PackedFigureReader } from './packed-figure.reader.js';

/** Reads what the books had of a product at the moment of a stock-take. */
@Injectable()
export class BookFigureReader {
  constructor(
    private readonly packed: PackedFigureReader,
    private readonly bulk: BulkFigureReader,
    private readonly material: MaterialFigureReader,
  ) {}

  /** @throws ProblemException `not-found`; `conflict` for what never stood there, stands elsewhere, or was counted at this moment already */
  async of(tx: Tx, producerId: string, count: Count, taken: Taken, place: string): Promise<BookFigure> {
    const figure = await this.#figure(tx, producerId, count, taken, place);
    await this.#requireFirst(tx, producerId, figure.account.id, taken.at, place);
    return figure;
  }

  #figure(tx: Tx, producerId: string, count: Count, taken: Taken, place: string): Promise<BookFigure> {
    if (isMaterialCount(count)) {
      return this.material.of(tx, producerId, count, taken, place);
    }
    return isPackedCount(count)
      ? this.packed.of(tx, producerId, count, taken, place)
      : this.bulk.of(tx, producerId, count, taken, place);
  }

  async #requireFirst(tx: Tx, producerId: string, accountId: string, at: Date, place: string): Promise<void> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT o.id FROM posting p JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
       WHERE p.producer_id = ${producerId}::uuid AND p.account_id = ${accountId}::uuid AND p.occurred_at = ${at}::timestamptz
         AND o.kind = 'count' AND NOT is_reversed(o.producer_id, o.id) LIMIT 1`;
    const seen = rows.at(0);
    if (seen !== undefined) {
      const detail = 'It was counted at this moment already; correct that count, or give another time.';
      throw refused(place, 'counted-already', detail, { operation: seen.id });
    }
  }
}
