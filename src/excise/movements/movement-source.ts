import { Injectable } from '@nestjs/common';
import type { AccountKey, Subject } from '../../ledger/books/account.js';
import { accountLine, liquidAccount, packagedAccount } from '../../ledger/books/account.js';
import type { StockRequest } from '../../ledger/books/not-enough.js';
import { requireInStock } from '../../ledger/books/not-enough.js';
import { MomentReader } from '../../ledger/books/moment.reader.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import { StockReader } from '../../ledger/books/stock.reader.js';
import type { Explained } from '../../ledger/corrections/explanations.js';
import { ExplanationReader } from '../../ledger/corrections/explanations.js';
import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { toBookLitres } from '../../metrology/units.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { CompositionReader } from '../../production/lots/compositions/composition.reader.js';
import type { WireQuantity } from '../../production/shared/event.dto.js';
import type { PackagedLotRow } from '../../production/operations/packaging/packaged-lot.reader.js';
import { PackagedLotReader } from '../../production/operations/packaging/packaged-lot.reader.js';
import { BearingLots } from '../../production/operations/material-lots/bearing-lots.js';
import { missingReference, referenced } from '../../production/shared/references.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { Bulk, Goods, MaterialDraw, Packed } from './goods.js';
import { isPacked } from './goods.js';

/** Goods that leave, and the account that they leave. */
export interface MovementSource {
  /** As it is now, or as it was at the event where that explains a later assertion. */
  readonly account: StockAccount;
  readonly subject: Subject;
  readonly litres: Decimal;
  /** Of what is packed, in % vol. */
  readonly declaredStrengthPercent: string | undefined;
  readonly nominalLitres: string | undefined;
  /** Of what is in bulk. */
  readonly vesselKind: string | undefined;
  readonly explained: Explained | undefined;
}

/** Packed goods or bulk: they are of a lot and a composition. */
export interface ProductSource extends MovementSource {
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
}

/** Facts about the movement that a source depends on. */
export interface Asked {
  readonly occurredAt: Date;
  /** The gauge or stock-take that the movement explains. */
  readonly explains: string | undefined;
}

/** A volume as the books take it. @throws ProblemException `out-of-range` for less than they can hold */
function bookLitresOf(volume: WireQuantity): Decimal {
  const { litres } = toBookLitres(volume, 'volume');
  if (litres.isZero()) {
    throw new ProblemException('out-of-range', 'The volume is less than the books can hold.', {
      errors: [{ pointer: '/volume/value', rule: 'out-of-range', detail: 'Give at least 0.000001 L.' }],
    });
  }
  return litres;
}

/** Litres of packed goods: count times nominal, or as measured. */
export const packedLitres = (lot: PackagedLotRow, { count, volume }: Packed): Decimal =>
  volume === undefined ? new Exact(lot.nominalLitres).times(count ?? 0) : bookLitresOf(volume);

/** Names the property that asked for packed goods and, for full containers, their number. */
export const requestOf = (
  { container, nominalLitres }: PackagedLotRow,
  { count }: Packed,
): Pick<StockRequest, 'pointer' | 'containers'> =>
  count === undefined ? { pointer: '/volume' } : { pointer: '/count', containers: { container, nominalLitres, count } };

export const packedSubject = (lot: PackagedLotRow) => ({
  category: lot.category,
  lotId: lot.lotId,
  compositionId: lot.compositionId,
  packagedLotId: lot.id,
});

const NOTHING_THERE = new Exact(0);

/** Finds the account that goods leave. */
@Injectable()
export class MovementSources {
  constructor(
    private readonly stock: StockReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly compositions: CompositionReader,
    private readonly explanations: ExplanationReader,
    private readonly moments: MomentReader,
    private readonly bearing: BearingLots,
  ) {}

  /** @throws ProblemException `not-found` for an unknown lot or vessel, `insufficient-stock`, `conflict` for another lot's liquid */
  of(tx: Tx, producerId: string, goods: Goods, asked: Asked): Promise<ProductSource> {
    return isPacked(goods) ? this.#packed(tx, producerId, goods, asked) : this.#bulk(tx, producerId, goods, asked);
  }

  /** @throws ProblemException `not-found`; `conflict` for a material lot without alcohol; `insufficient-stock` */
  async ofMaterial(tx: Tx, producerId: string, goods: MaterialDraw, asked: Asked): Promise<MovementSource> {
    const { lot, account: now } = await this.bearing.of(tx, producerId, goods.materialLotId, '/materialLotId');
    const litres = bookLitresOf(goods.volume);
    const explained = await this.#explained(tx, producerId, asked, ({ materialLotId }) => materialLotId === lot.id);
    const account = explained?.account ?? now;
    requireInStock(account.balance.litres, { account: account.account, litres, pointer: '/volume' });
    return {
      account,
      subject: { category: 'materials', materialLotId: lot.id },
      litres,
      declaredStrengthPercent: undefined,
      nominalLitres: undefined,
      vesselKind: undefined,
      explained,
    };
  }

  async #packed(tx: Tx, producerId: string, goods: Packed, asked: Asked): Promise<ProductSource> {
    const lot = await this.packagedLots.row(tx, producerId, goods.packagedLotId);
    if (lot === undefined) {
      throw missingReference('/packagedLotId');
    }
    if (goods.premisesId !== undefined) {
      await referenced(tx, producerId, 'premises', goods.premisesId, '/premisesId');
    }
    const litres = packedLitres(lot, goods);
    const { premisesId = lot.premisesId, dutyStatus } = goods;
    const place = { premisesId, dutyStatus, owner: lot.owner };
    const key = packagedAccount(place, lot.id);
    const isOwn = (account: AccountKey) => accountLine(account) === accountLine(key);
    const explained = await this.#explained(tx, producerId, asked, isOwn);
    const own =
      explained?.account ??
      (await this.stock.ofPackagedLots(tx, producerId, [lot.id])).find(({ account }) => isOwn(account));
    requireInStock(own?.balance.litres ?? NOTHING_THERE, { account: key, litres, ...requestOf(lot, goods) });
    return {
      account: own ?? this.#unreachable(),
      subject: packedSubject(lot),
      litres,
      declaredStrengthPercent: lot.declaredStrengthPercent,
      nominalLitres: lot.nominalLitres,
      vesselKind: undefined,
      explained,
    };
  }

  async #bulk(tx: Tx, producerId: string, goods: Bulk, asked: Asked): Promise<ProductSource> {
    const lot = await referenced(tx, producerId, 'lot', goods.lotId, '/lotId');
    const vessel = await referenced(tx, producerId, 'vessel', goods.vesselId, '/vesselId');
    const litres = bookLitresOf(goods.volume);
    const own = (await this.compositions.ofLot(tx, producerId, lot.id)).map(({ id }) => id);
    const explained = await this.#explained(
      tx,
      producerId,
      asked,
      ({ vesselId, compositionId }) => vesselId === vessel.id && own.includes(compositionId ?? ''),
    );
    const account = explained?.account ?? (await this.#inVessel(tx, producerId, vessel.id, own, asked.occurredAt));
    const compositionId = account?.account.compositionId;
    if (account === undefined || compositionId === undefined) {
      const nowhere = liquidAccount({ premisesId: vessel.premisesId }, 'none', vessel.id);
      requireInStock(NOTHING_THERE, { account: nowhere, litres, pointer: '/volume' });
      return this.#unreachable();
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
    };
  }

  /**
   * What is in the vessel. Amid a correction that can be two: what the corrected draw had emptied, and what came into it since; then it is what it
   * held at the event, of the lot that is asked for where there is a choice.
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

  #explained(
    tx: Tx,
    producerId: string,
    { explains, occurredAt }: Asked,
    isOwn: (account: AccountKey) => boolean,
  ): Promise<Explained | undefined> {
    return explains === undefined
      ? Promise.resolve(undefined)
      : this.explanations.of(tx, producerId, explains, occurredAt, isOwn);
  }

  #unreachable(): never {
    throw new Error('A draw of more than nothing was let through from an account that is not there.');
  }
}
