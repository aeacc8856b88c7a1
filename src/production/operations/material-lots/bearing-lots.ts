import { Injectable } from '@nestjs/common';
import type { MaterialLot } from '../../../generated/prisma/client.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { referenced } from '../../shared/references.js';

/** A material lot that bears alcohol, with the stock account that it stands on. */
export interface BearingLot {
  readonly lot: MaterialLot;
  readonly account: StockAccount;
}

/** Finds material lots in the books: spirit, flavourings and yeast crops with their alcohol. */
@Injectable()
export class BearingLots {
  constructor(private readonly stock: StockReader) {}

  /** @throws ProblemException `not-found`; `conflict` for a material lot without alcohol, which the books do not hold */
  async of(tx: Tx, producerId: string, id: string, pointer: string): Promise<BearingLot> {
    const lot = await referenced(tx, producerId, 'materialLot', id, pointer);
    const account = (await this.stock.ofMaterialLots(tx, producerId, [lot.id])).at(0);
    if (account === undefined) {
      const detail = 'The material lot contains no alcohol, so that the books have no stock of it.';
      throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'no-alcohol', detail }] });
    }
    return { lot, account };
  }
}
