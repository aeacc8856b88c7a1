import { Injectable } from '@nestjs/common';
import type { AccountKey, Subject } from '../../ledger/books/account.js';
import { accountLine, liquidAccount, packagedAccount } from '../../ledger/books/account.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import { StockReader } from '../../ledger/books/stock.reader.js';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { toBookLitres } from '../../metrology/units.js';
import type { FieldError } from '../../platform/problems/problem.exception.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { CompositionReader } from '../../production/compositions/composition.reader.js';
import type { WireQuantity } from '../../production/event.dto.js';
import { PackagedLotReader } from '../../production/packaging/packaged-lot.reader.js';
import { malformed, missingReference, referenced } from '../../production/references.js';
import type { Tx } from '../../tenancy/door/door.js';
import type { NewMovement } from './movements.dto.js';

/** Packed: containers of one packaged lot. */
interface Packed {
  readonly packagedLotId: string;
  readonly count: number;
}

/** Bulk: a volume of a lot out of a vessel. */
interface Bulk {
  readonly lotId: string;
  readonly vesselId: string;
  readonly volume: WireQuantity;
}

export type Goods = Packed | Bulk;

export const isPacked = (goods: Goods): goods is Packed => 'packagedLotId' in goods;

/** What goes, and from where. */
export interface MovementSource {
  readonly account: StockAccount;
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
  readonly litres: Decimal;
  /** Of what is packed, in % vol. */
  readonly declaredStrengthPercent: string | undefined;
  readonly nominalLitres: string | undefined;
}

const missing = (pointer: string): FieldError => ({
  pointer,
  rule: 'required',
  detail: 'Give packagedLotId and count, or lotId, vesselId and volume.',
});

/** Which of the two ways to name goods a body uses. @throws ProblemException `validation-failed` for neither, both or half of one */
export function goodsOf({ packagedLotId, count, lotId, vesselId, volume }: NewMovement): Goods {
  const packed = { packagedLotId, count };
  const bulk = { lotId, vesselId, volume };
  const absent = (values: object) => Object.entries(values).filter(([, value]) => value === undefined);
  const [inPacked, inBulk] = [absent(packed).length < 2, absent(bulk).length < 3];
  if (inPacked && inBulk) {
    throw malformed({ ...missing(''), rule: 'one-of-two' });
  }
  const lacking = absent(inBulk ? bulk : packed);
  if (lacking.length > 0) {
    throw malformed(...lacking.map(([name]) => missing(`/${name}`)));
  }
  return (inBulk ? bulk : packed) as Goods;
}

function requireEnough(account: AccountKey, balance: Decimal, litres: Decimal, pointer: string): void {
  if (litres.greaterThan(balance)) {
    const detail = `The books hold ${canonicalText(balance)} L there, and ${canonicalText(litres)} L are asked for.`;
    throw new ProblemException('insufficient-stock', detail, {
      errors: [{ pointer, rule: 'insufficient-stock', detail }],
      members: { account: accountLine(account), bookLitres: Number(balance), askedLitres: Number(litres) },
    });
  }
}

const NOTHING_THERE = new Exact(0);

/** Finds the account that goods leave. */
@Injectable()
export class MovementSources {
  constructor(
    private readonly stock: StockReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly compositions: CompositionReader,
  ) {}

  /** @throws ProblemException `not-found` for an unknown lot or vessel, `insufficient-stock`, `conflict` for another lot's liquid */
  of(tx: Tx, producerId: string, goods: Goods): Promise<MovementSource> {
    return isPacked(goods) ? this.#packed(tx, producerId, goods) : this.#bulk(tx, producerId, goods);
  }

  async #packed(tx: Tx, producerId: string, { packagedLotId, count }: Packed): Promise<MovementSource> {
    const lot = await this.packagedLots.row(tx, producerId, packagedLotId);
    if (lot === undefined) {
      throw missingReference('/packagedLotId');
    }
    const litres = new Exact(lot.nominalLitres).times(count);
    const key = packagedAccount({ premisesId: lot.premisesId }, lot.id);
    const accounts = await this.stock.ofPackagedLots(tx, producerId, [lot.id]);
    const own = accounts.find(({ account }) => accountLine(account) === accountLine(key));
    requireEnough(key, own?.balance.litres ?? NOTHING_THERE, litres, '/count');
    return {
      account: own ?? this.#unreachable(),
      subject: { category: lot.category, lotId: lot.lotId, compositionId: lot.compositionId, packagedLotId: lot.id },
      litres,
      declaredStrengthPercent: lot.declaredStrengthPercent,
      nominalLitres: lot.nominalLitres,
    };
  }

  async #bulk(tx: Tx, producerId: string, { lotId, vesselId, volume }: Bulk): Promise<MovementSource> {
    const lot = await referenced(tx, producerId, 'lot', lotId, '/lotId');
    const vessel = await referenced(tx, producerId, 'vessel', vesselId, '/vesselId');
    const { litres } = toBookLitres(volume, 'volume');
    if (litres.isZero()) {
      throw new ProblemException('out-of-range', 'The volume is less than the books can hold.', {
        errors: [{ pointer: '/volume/value', rule: 'out-of-range', detail: 'Give at least 0.000001 L.' }],
      });
    }
    const [account] = await this.stock.ofVessel(tx, producerId, vesselId);
    const compositionId = account?.account.compositionId;
    if (account === undefined || compositionId === undefined) {
      const nowhere = liquidAccount({ premisesId: vessel.premisesId }, 'none', vesselId);
      requireEnough(nowhere, NOTHING_THERE, litres, '/volume');
      return this.#unreachable();
    }
    const [composition] = await this.compositions.ofIds(tx, producerId, [compositionId]);
    if (composition.lotId !== lot.id) {
      const detail = `The vessel holds lot ${composition.lotCode}.`;
      throw new ProblemException('conflict', detail, {
        errors: [{ pointer: '/lotId', rule: 'lot-in-vessel', detail }],
      });
    }
    requireEnough(account.account, account.balance.litres, litres, '/volume');
    return {
      account,
      subject: { category: composition.category, lotId: lot.id, compositionId },
      litres,
      declaredStrengthPercent: undefined,
      nominalLitres: undefined,
    };
  }

  #unreachable(): never {
    throw new Error('A draw of more than nothing was let through from an account that is not there.');
  }
}
