import { Injectable } from '@nestjs/common';
import { liquidAccount } from '../../ledger/books/account.js';
import { MomentReader } from '../../ledger/books/moment.reader.js';
import { requireInStock } from '../../ledger/books/not-enough.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import { StockReader } from '../../ledger/books/stock.reader.js';
import { ExplanationReader } from '../../ledger/corrections/explanations.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { CompositionReader } from '../../production/lots/compositions/composition.reader.js';
import { referenced } from '../../production/shared/references.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { Bulk } from './goods.js';
import type { Asked, ProductSource } from './source.js';
import { bookLitresOf, NOTHING_THERE, unreachable } from './source.js';

/** Finds the account of liquid that leaves a vessel. */
@Injectable()
export class BulkSources {
  constructor(
    private readonly stock: StockReader,
    private readonly compositions: CompositionReader,
    private readonly explanations: ExplanationReader,
    private readonly moments: MomentReader,
  ) {}

  /** @throws ProblemException `not-found`; `insufficient-stock`; `conflict` for another lot's liquid */
  async of(tx: Tx, producerId: string, goods: Bulk, asked: Asked): Promise<ProductSource> {
    const lot = await referenced(tx, producerId, 'lot', goods.lotId, '/lotId');
    const vessel = await referenced(tx, producerId, 'vessel', goods.vesselId, '/vesselId');
    const litres = bookLitresOf(goods.volume);
    const own = (await this.compositions.ofLot(tx, producerId, lot.id)).map(({ id }) => id);
    const explained = await this.explanations.ifGiven(
      tx,
      producerId,
      asked.explains,
      asked.occurredAt,
      ({ vesselId, compositionId }) => vesselId === vessel.id && own.includes(compositionId ?? ''),
    );
    const account = explained?.account ?? (await this.#inVessel(tx, producerId, vessel.id, own, asked.occurredAt));
    const compositionId = account?.account.compositionId;
    if (account === undefined || compositionId === undefined) {
      const nowhere = liquidAccount({ premisesId: vessel.premisesId }, 'none', vessel.id);
      requireInStock(NOTHING_THERE, { account: nowhere, litres, pointer: '/volume' });
      return unreachable();
    }
    const [composition] = await this.compositions.ofIds(tx, producerId, [compositionId]);
    if (composition.lotId !== lot.id) {
      const detail = `The vessel holds lot ${composition.lotCode}.`;
      throw new ProblemException('conflict', detail, {
        errors: [{ pointer: '/lotId', rule: 'lot-in-vessel', detail }],
      });
    }
    requireInStock(account.balance.litres, { account: account.account, litres, pointer: '/volume' });
    return {
      account,
      subject: { category: composition.category, lotId: lot.id, compositionId },
      litres,
      declaredStrengthPercent: undefined,
      nominalLitres: undefined,
      vesselKind: vessel.kind,
      explained,
      followed: undefined,
    };
  }

  /**
   * Account of the liquid in the vessel. While a correction is being written there can be two: the liquid of the corrected draw, and what came in
   * since. Then it is the one that the vessel held at the event, of the requested lot where both did.
   */
  async #inVessel(
    tx: Tx,
    producerId: string,
    vesselId: string,
    own: readonly string[],
    at: Date,
  ): Promise<StockAccount | undefined> {
    const there = await this.stock.ofVessel(tx, producerId, vesselId);
    if (there.length < 2) {
      return there.at(0);
    }
    const then = await this.moments.asOf(tx, producerId, there, at);
    const held = there.filter((_, index) => then[index].balance.litres.greaterThan(0));
    return held.find(({ account }) => own.includes(account.compositionId ?? '')) ?? held.at(0);
  }
}
