import { Injectable } from '@nestjs/common';
import type { Subject } from '../../ledger/books/account.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import { StockReader } from '../../ledger/books/stock.reader.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { PackagedLotReader } from '../../production/packaging/packaged-lot.reader.js';
import type { Tx } from '../../tenancy/door/door.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { packedSubject } from '../movements/movement-source.js';
import type { TransitRow } from './transit.reader.js';
import { stateOf, TransitReader } from './transit.reader.js';

/** A consignment that is on the way, with what is in it. */
export interface ArrivalRead {
  readonly transit: TransitRow;
  readonly account: StockAccount;
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
  readonly nominalLitres: string;
}

export const refused = (pointer: string, rule: string, detail: string, more: object = {}): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer, rule, detail, ...more }] });

/** Reads what can arrive. */
@Injectable()
export class SentReader {
  constructor(
    private readonly transits: TransitReader,
    private readonly stock: StockReader,
    private readonly packagedLots: PackagedLotReader,
  ) {}

  /** @throws ProblemException `not-found`; `conflict` for what has arrived or was reversed */
  async of(tx: Tx, producerId: string, id: string): Promise<ArrivalRead> {
    const transit = (await this.transits.row(tx, producerId, id)) ?? notFound();
    if (stateOf(transit) !== 'on-the-way') {
      const arrived = transit.arrivalId !== null;
      const detail = arrived ? 'An arrival of it has been entered.' : 'It was reversed: nothing is on the way.';
      throw refused('', arrived ? 'arrived-already' : 'reversed', detail, { operation: transit.arrivalId ?? id });
    }
    const lot = await this.packagedLots.row(tx, producerId, transit.packagedLotId);
    const held = await this.stock.ofPackagedLots(tx, producerId, [transit.packagedLotId]);
    const account = held.find((each) => each.account.transitId === id);
    if (lot === undefined || account === undefined) {
      throw new Error(`transit ${id} has no account`);
    }
    return { transit, account, subject: packedSubject(lot), nominalLitres: lot.nominalLitres };
  }
}
