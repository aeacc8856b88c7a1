import { Injectable } from '@nestjs/common';
import type { Subject } from '../../../ledger/books/account.js';
import { accountLine, packagedAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { drawnFrom } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { drawnComponents } from '../../../ledger/books/components.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import { Exact } from '../../../metrology/decimals.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { PackagedLotRow } from '../../measuring/packed/packaged-lot.reader.js';
import type { PackedStrength } from '../../measuring/packed/packed-strength.js';
import { PackedStrengthReader } from '../../measuring/packed/packed-strength.reader.js';
import { PackagedLotReader } from '../../measuring/packed/packaged-lot.reader.js';
import type { FollowedLot } from '../containers/container-events.js';
import { requireSerialEach, requireSerials } from '../containers/container-events.js';
import { followedLot } from '../containers/container.reader.js';
import { referenced } from '../../shared/references.js';

/** A packaged lot with its account at the premises where it was packed. */
export interface PackedStock {
  readonly lot: PackagedLotRow;
  readonly stock: StockAccount | undefined;
  readonly timeZone: string;
  readonly settings: ProducerSettings;
  /** None of a lot that was filled without serials. */
  readonly followed: FollowedLot | undefined;
  /** None where no finding of record stands. */
  readonly strength: PackedStrength | undefined;
}

export interface PackedDraw {
  readonly stock: StockAccount;
  readonly subject: Subject;
  readonly amount: Amount;
  readonly components: Components;
}

/** Reads what of a packaged lot is on hand. */
@Injectable()
export class PackedStockReader {
  constructor(
    private readonly packagedLots: PackagedLotReader,
    private readonly stock: StockReader,
    private readonly settings: SettingsReader,
    private readonly strengths: PackedStrengthReader,
  ) {}

  /** @throws ProblemException `not-found` */
  async of(tx: Tx, producerId: string, id: string, at: Date): Promise<PackedStock> {
    const lot = (await this.packagedLots.row(tx, producerId, id)) ?? notFound();
    const key = accountLine(packagedAccount({ premisesId: lot.premisesId, owner: lot.owner }, lot.id));
    const accounts = await this.stock.ofPackagedLots(tx, producerId, [lot.id]);
    const premises = await referenced(tx, producerId, 'premises', lot.premisesId, '/premisesId');
    return {
      lot,
      stock: accounts.find(({ account }) => accountLine(account) === key),
      timeZone: premises.timeZone,
      settings: await this.settings.of(tx, producerId),
      followed: await followedLot(tx, producerId, lot, { premisesId: lot.premisesId, dutyStatus: 'suspended', at }),
      strength: (await this.strengths.of(tx, producerId, [lot])).get(lot.id),
    };
  }
}

/** Containers out of a packaged lot. @throws ProblemException `insufficient-stock` naming how many there are */
export function drawContainers(
  { lot, stock, followed }: PackedStock,
  { count, serials }: { readonly count: number; readonly serials?: readonly string[] },
): PackedDraw {
  const nominal = new Exact(lot.nominalLitres);
  const litres = nominal.times(count);
  if (stock === undefined || litres.greaterThan(stock.balance.litres)) {
    const onHand = stock === undefined ? 0 : stock.balance.litres.dividedBy(nominal).toDecimalPlaces(6).toNumber();
    throw new ProblemException(
      'insufficient-stock',
      `${onHand} containers of ${lot.lotMark} are in stock; ${count} were asked for.`,
      {
        errors: [{ pointer: '/count', rule: 'insufficient-stock', detail: 'Check the count, or enter a stock-take.' }],
        members: { onHand },
      },
    );
  }
  requireSerials(followed, serials, count);
  requireSerialEach(serials, count);
  return {
    stock,
    subject: {
      category: lot.category,
      lotId: lot.lotId,
      compositionId: lot.compositionId,
      packagedLotId: lot.id,
    },
    amount: drawnFrom(stock.balance, litres),
    components: drawnComponents(stock.components, stock.balance, litres),
  };
}
