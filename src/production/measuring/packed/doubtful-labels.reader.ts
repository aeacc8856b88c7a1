import { Injectable } from '@nestjs/common';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import type { LabelDoubt } from './label-doubt.js';
import { labelDoubt } from './label-doubt.js';
import type { PackagedLotRow } from './packaged-lot.reader.js';
import { PackagedLotReader } from './packaged-lot.reader.js';
import { PackedStrengthReader } from './packed-strength.reader.js';
import type { PackedStrength } from './packed-strength.js';

/** A packaged lot whose label is doubtful. */
export interface DoubtfulLabel {
  readonly packagedLot: PackagedLotRow;
  readonly strength: PackedStrength;
  readonly doubt: LabelDoubt;
  /** Containers in stock, and those that went out. */
  readonly inStock: number;
  readonly outgoing: number;
}

/** More packaged lots in stock than a small producer has. */
const MOST = 2000;

/** Litres of each packaged lot in stock. */
export function litresByPackagedLot(accounts: Iterable<StockAccount>): Map<string, number> {
  const litres = new Map<string, number>();
  for (const { account, balance } of accounts) {
    if (account.packagedLotId !== undefined) {
      litres.set(account.packagedLotId, (litres.get(account.packagedLotId) ?? 0) + balance.litres.toNumber());
    }
  }
  return litres;
}

/** Containers in stock and out of it, to six places: a keg can be part full. */
export function containersOf(
  { count, nominalLitres }: PackagedLotRow,
  litresInStock: number,
): Pick<DoubtfulLabel, 'inStock' | 'outgoing'> {
  const inStock = Math.round((litresInStock / Number(nominalLitres)) * 1e6) / 1e6;
  return { inStock, outgoing: Math.max(0, Math.round((count - inStock) * 1e6) / 1e6) };
}

/** Reads which labels are doubtful, for every place that says so. */
@Injectable()
export class DoubtfulLabels {
  constructor(
    private readonly packagedLots: PackagedLotReader,
    private readonly strengths: PackedStrengthReader,
    private readonly settings: SettingsReader,
    private readonly stock: StockReader,
  ) {}

  /** Of goods of which some are in stock, by packaged lot; of one premises if given. */
  async inStock(tx: Tx, producerId: string, premisesId?: string): Promise<DoubtfulLabel[]> {
    const rows = await this.packagedLots.page(tx, producerId, { state: 'in-stock', premisesId }, MOST);
    return this.of(tx, producerId, rows);
  }

  async of(tx: Tx, producerId: string, rows: readonly PackagedLotRow[]): Promise<DoubtfulLabel[]> {
    const settings = await this.settings.of(tx, producerId);
    const strengths = await this.strengths.of(tx, producerId, rows);
    const doubtful = rows.flatMap((packagedLot) => {
      const strength = strengths.get(packagedLot.id);
      const doubt = strength && labelDoubt(strength, Number(packagedLot.declaredStrengthPercent), settings);
      return strength === undefined || doubt === undefined ? [] : [{ packagedLot, strength, doubt }];
    });
    const ids = doubtful.map(({ packagedLot }) => packagedLot.id);
    const litres = litresByPackagedLot(await this.stock.ofPackagedLots(tx, producerId, ids));
    return doubtful.map((each) => ({
      ...each,
      ...containersOf(each.packagedLot, litres.get(each.packagedLot.id) ?? 0),
    }));
  }
}
