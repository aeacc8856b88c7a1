import { Injectable } from '@nestjs/common';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { litresByPackagedLot } from '../../measuring/packed/doubtful-labels.reader.js';
import type { Page } from '../../../platform/pagination.js';
import { filteredList, idCursor, pageOf } from '../../../platform/pagination.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { PackagedLotRow } from '../../measuring/packed/packaged-lot.reader.js';
import { PackagedLotReader } from '../../measuring/packed/packaged-lot.reader.js';
import { PackedStrengthReader } from '../../measuring/packed/packed-strength.reader.js';
import type { PackagedLot, PackagedLotQuery } from './packaged-lots.dto.js';
import { toPackagedLot } from './packaged-lots.dto.js';

/** Packaged lots as they are read over the wire, with what is on hand. */
@Injectable()
export class PackagedLotsQuery {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly packagedLots: PackagedLotReader,
    private readonly stock: StockReader,
    private readonly strengths: PackedStrengthReader,
    private readonly settings: SettingsReader,
  ) {}

  list(ctx: RequestContext, query: PackagedLotQuery): Promise<Page<PackagedLot>> {
    const list = filteredList('packaged-lot', query);
    const after = idCursor(list, query.cursor);
    return this.database.read(ctx, async (tx) => {
      const rows = await this.packagedLots.page(tx, ctx.producerId, { ...query, after }, query.limit + 1);
      const onHand = await this.onHand(tx, ctx.producerId, rows);
      const strengths = await this.strengths.of(tx, ctx.producerId, rows);
      const settings = await this.settings.of(tx, ctx.producerId);
      return pageOf(
        list,
        rows,
        query.limit,
        (row) => [row.id],
        (row) => toPackagedLot(row, onHand.get(row.id) ?? 0, strengths.get(row.id), settings),
      );
    });
  }

  get(ctx: RequestContext, id: string): Promise<PackagedLot> {
    return this.database.read(ctx, async (tx) => {
      const row = await this.packagedLots.row(tx, ctx.producerId, id);
      if (row === undefined) {
        return notFound();
      }
      const strengths = await this.strengths.of(tx, ctx.producerId, [row]);
      const litres = (await this.onHand(tx, ctx.producerId, [row])).get(id) ?? 0;
      return toPackagedLot(row, litres, strengths.get(id), await this.settings.of(tx, ctx.producerId));
    });
  }

  private async onHand(tx: Tx, producerId: string, rows: readonly PackagedLotRow[]): Promise<Map<string, number>> {
    const accounts = await this.stock.ofPackagedLots(
      tx,
      producerId,
      rows.map(({ id }) => id),
    );
    return litresByPackagedLot(accounts);
  }
}
