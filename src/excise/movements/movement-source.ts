import { Injectable } from '@nestjs/common';
import type { AccountKey, DutyStatus } from '../../ledger/books/account.js';
import { accountLine, packagedAccount } from '../../ledger/books/account.js';
import type { StockRequest } from '../../ledger/books/not-enough.js';
import { requireInStock } from '../../ledger/books/not-enough.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import { StockReader } from '../../ledger/books/stock.reader.js';
import { ExplanationReader } from '../../ledger/corrections/explanations.js';
import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { followedLot } from '../../production/operations/containers/container.reader.js';
import { BearingLots } from '../../production/operations/material-lots/bearing-lots.js';
import type { PackagedLotRow } from '../../production/measuring/packed/packaged-lot.reader.js';
import { PackagedLotReader } from '../../production/measuring/packed/packaged-lot.reader.js';
import { missingReference, referenced } from '../../production/shared/references.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { BulkSources } from './bulk-source.js';
import type { Goods, MaterialDraw, Packed } from './goods.js';
import { isPacked } from './goods.js';
import type { Asked, MovementSource, ProductSource } from './source.js';
import { bookLitresOf, NOTHING_THERE, unreachable } from './source.js';

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

/** Finds the account that goods leave. */
@Injectable()
export class MovementSources {
  constructor(
    private readonly stock: StockReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly bulk: BulkSources,
    private readonly explanations: ExplanationReader,
    private readonly bearing: BearingLots,
  ) {}

  /** @throws ProblemException `not-found` for an unknown lot or vessel, `insufficient-stock`, `conflict` for another lot's liquid */
  of(tx: Tx, producerId: string, goods: Goods, asked: Asked): Promise<ProductSource> {
    return isPacked(goods) ? this.#packed(tx, producerId, goods, asked) : this.bulk.of(tx, producerId, goods, asked);
  }

  /** @throws ProblemException `not-found`; `conflict` for a material lot without alcohol; `insufficient-stock` */
  async ofMaterial(tx: Tx, producerId: string, goods: MaterialDraw, asked: Asked): Promise<MovementSource> {
    const { lot, account: now } = await this.bearing.of(tx, producerId, goods.materialLotId, '/materialLotId');
    const litres = bookLitresOf(goods.volume);
    const explained = await this.explanations.ifGiven(
      tx,
      producerId,
      asked.explains,
      asked.occurredAt,
      ({ materialLotId }) => materialLotId === lot.id,
    );
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
      followed: undefined,
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
    const held = await this.stock.ofPackagedLots(tx, producerId, [lot.id]);
    const { premisesId = lot.premisesId } = goods;
    const keyOf = (dutyStatus: DutyStatus) => packagedAccount({ premisesId, dutyStatus, owner: lot.owner }, lot.id);
    const isPaidOnly = !goods.isStatusGiven && asked.explains === undefined && holdsPaidOnly(held, keyOf);
    const dutyStatus = isPaidOnly ? 'paid' : goods.dutyStatus;
    const key = keyOf(dutyStatus);
    const isOwn = (account: AccountKey) => accountLine(account) === accountLine(key);
    const explained = await this.explanations.ifGiven(tx, producerId, asked.explains, asked.occurredAt, isOwn);
    const own = explained?.account ?? held.find(({ account }) => isOwn(account));
    requireInStock(own?.balance.litres ?? NOTHING_THERE, { account: key, litres, ...requestOf(lot, goods) });
    return {
      account: own ?? unreachable(),
      subject: packedSubject(lot),
      litres,
      declaredStrengthPercent: lot.declaredStrengthPercent,
      nominalLitres: lot.nominalLitres,
      vesselKind: undefined,
      explained,
      followed: await followedLot(tx, producerId, lot, { premisesId, dutyStatus, at: asked.occurredAt }),
    };
  }
}

/** Tells that all there is of a packaged lot at a place has its duty paid. */
function holdsPaidOnly(held: readonly StockAccount[], keyOf: (dutyStatus: DutyStatus) => AccountKey): boolean {
  const litresOf = (dutyStatus: DutyStatus) =>
    held.find(({ account }) => accountLine(account) === accountLine(keyOf(dutyStatus)))?.balance.litres;
  return (litresOf('suspended')?.isZero() ?? true) && litresOf('paid')?.greaterThan(0) === true;
}
