import { Injectable } from '@nestjs/common';
import type { Lot } from '../../../generated/prisma/client.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Page } from '../../../platform/pagination.js';
import { decodeCursor, filteredList, pageOf } from '../../../platform/pagination.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { receivingLot } from '../../lots/receiving-lot.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { requireEmpty } from '../../measuring/position/vessel-liquid.js';
import { malformed, referenced, referencedInUse } from '../../shared/references.js';
import { toReceipt } from './receipt.mapper.js';
import { ReceiptReader } from './receipt.reader.js';
import { receiptPlan } from './receipt-plan.js';
import type { ReceivedGoods } from './receipt.rules.js';
import { documentStrength, enteringStatus, receivedGoods } from './receipt.rules.js';
import type { NewReceipt, Receipt, ReceiptQuery } from './receipts.dto.js';

/** Drink that others made: packed or in bulk, from another producer, imported, or bought with its duty paid. */
@Injectable()
export class ReceiptsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly events: EventWriter,
    private readonly receipts: ReceiptReader,
    private readonly positions: PositionReader,
  ) {}

  receive(ctx: RequestContext, body: NewReceipt): Promise<Answer<Receipt>> {
    const goods = receivedGoods(body);
    enteringStatus(body);
    documentStrength(body);
    return this.events.write(ctx, body, {
      read: async (tx) => {
        await referencedInUse(tx, ctx.producerId, 'premises', body.premisesId, '/premisesId');
        return { goods, lot: await this.#lot(tx, ctx.producerId, body, goods) };
      },
      plan: (read, head) => receiptPlan(ctx, body, head, read),
    });
  }

  async list(ctx: RequestContext, query: ReceiptQuery): Promise<Page<Receipt>> {
    const { cursor, limit, ...filter } = query;
    const list = filteredList('receipts', query);
    const after = cursor === undefined ? 0 : Number(decodeCursor(list, cursor, ['number'])[0]);
    const rows = await this.database.read(ctx, (tx) =>
      this.receipts.page(tx, ctx.producerId, filter, after, limit + 1),
    );
    return pageOf(list, rows, limit, ({ sequence }) => [Number(sequence)], toReceipt);
  }

  async get(ctx: RequestContext, id: string): Promise<Receipt> {
    const row = await this.database.read(ctx, (tx) => this.receipts.row(tx, ctx.producerId, id));
    return row === undefined ? notFound() : toReceipt(row);
  }

  /** The lot that the drink is from now on; none where all was refused. */
  async #lot(tx: Tx, producerId: string, body: NewReceipt, { bulk, arrived }: ReceivedGoods): Promise<Lot | undefined> {
    if (bulk !== undefined) {
      const vessel = await referenced(tx, producerId, 'vessel', bulk.vesselId, '/bulk/vesselId');
      requireHere(vessel.premisesId, body.premisesId, '/bulk/vesselId', 'The vessel');
    }
    if (arrived.litres.isZero()) {
      if (body.lotId !== undefined) {
        const detail = 'All was refused, so that no lot comes of it: leave lotId out.';
        throw malformed({ pointer: '/lotId', rule: 'all-refused', detail });
      }
      return undefined;
    }
    if (body.lotId === undefined) {
      const detail = 'Create the lot that it is from now on, and name it.';
      throw malformed({ pointer: '/lotId', rule: 'required', detail });
    }
    const lot = await receivingLot(tx, producerId, body.lotId, '/lotId');
    requireHere(lot.premisesId, body.premisesId, '/lotId', 'The lot');
    if (bulk !== undefined) {
      requireEmpty(await this.positions.inVessel(tx, producerId, bulk.vesselId), '/bulk/vesselId');
    }
    return lot;
  }
}

/** @throws ProblemException `conflict` for a lot or a vessel of other premises */
function requireHere(own: string, premisesId: string, pointer: string, what: string): void {
  if (own !== premisesId) {
    const detail = `${what} is of other premises than those that the drink came in at.`;
    throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'other-premises', detail }] });
  }
}
