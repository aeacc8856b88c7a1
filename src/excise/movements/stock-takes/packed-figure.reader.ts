import { Injectable } from '@nestjs/common';
import { accountLine, packagedAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount } from '../../../ledger/books/amount.js';
import { countedComponents } from '../../../ledger/books/components.js';
import { MomentReader } from '../../../ledger/books/moment.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import { Exact, sumOf } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import type { PackagedLotRow } from '../../../production/measuring/packed/packaged-lot.reader.js';
import { PackagedLotReader } from '../../../production/measuring/packed/packaged-lot.reader.js';
import type { FollowedLot } from '../../../production/operations/containers/container-events.js';
import { requireSerials } from '../../../production/operations/containers/container-events.js';
import { followedLot } from '../../../production/operations/containers/container.reader.js';
import { malformed, missingReference } from '../../../production/shared/references.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { PackedCount } from './counted.js';
import type { BookFigure, ContainerLitres, Taken } from './book-figure.js';
import { refused, atBookStrength } from './book-figure.js';

/** Containers that were there hold what the list says. @throws ProblemException `validation-failed` for a measured volume beside them; `conflict` */
function seenBy(followed: FollowedLot, { serials = [], partFull }: PackedCount, place: string) {
  if (partFull !== undefined) {
    const detail =
      'A container with a serial holds what the list says: enter what was drawn off it as a movement, and leave volume out.';
    throw malformed({ pointer: `${place}/volume`, rule: 'by-serial', detail });
  }
  const known = (serial: string): ContainerLitres => {
    const litres = followed.lastLitres.get(serial);
    if (litres === undefined) {
      const detail = `Container ${serial} was never filled with ${followed.lotMark}. Check the serial.`;
      throw refused(`${place}/serials`, 'never-filled', detail);
    }
    return { serial, litres };
  };
  const there = serials.map(known);
  const turnedUp = there.filter(({ serial }) => !followed.here.includes(serial));
  const missing = followed.here.filter((serial) => !serials.includes(serial)).map(known);
  return { litres: sumOf(there.map(({ litres }) => litres)), turnedUp, missing };
}

/** Reads the book figure of packed goods, beside the containers found. */
@Injectable()
export class PackedFigureReader {
  constructor(
    private readonly stock: StockReader,
    private readonly moments: MomentReader,
    private readonly packagedLots: PackagedLotReader,
  ) {}

  async of(tx: Tx, producerId: string, count: PackedCount, taken: Taken, place: string): Promise<BookFigure> {
    const lot = await this.packagedLots.row(tx, producerId, count.packagedLotId);
    if (lot === undefined) {
      throw missingReference(`${place}/packagedLotId`);
    }
    const key = accountLine(packagedAccount({ ...taken, owner: lot.owner, dutyStatus: count.dutyStatus }, lot.id));
    const held = (await this.stock.ofPackagedLots(tx, producerId, [lot.id])).filter(
      ({ account }) => accountLine(account) === key,
    );
    const account = (await this.moments.asOf(tx, producerId, held, taken.at)).at(0);
    if (account === undefined) {
      const detail = 'The books never had any of it at these premises; enter how it came there first.';
      throw refused(`${place}/packagedLotId`, 'never-there', detail);
    }
    const { balance, components } = account;
    const followed = await followedLot(tx, producerId, lot, {
      premisesId: taken.premisesId,
      dutyStatus: count.dutyStatus,
      at: taken.at,
    });
    requireSerials(followed, count.serials, count.count, `${place}/serials`);
    const partFull = count.partFull === undefined ? 0 : toBookLitres(count.partFull, 'volume').litres;
    const seen = followed === undefined ? undefined : seenBy(followed, count, place);
    const litres = seen?.litres ?? new Exact(lot.nominalLitres).times(count.count).plus(partFull);
    const same = litres.equals(balance.litres);
    const strengthOf = balance.litres.isZero() ? await this.#filled(tx, producerId, lot, taken.at) : balance;
    if (strengthOf === undefined) {
      throw refused(`${place}/packagedLotId`, 'never-there', 'It had not been filled then, or that was reversed.');
    }
    return {
      account,
      subject: { category: lot.category, lotId: lot.lotId, compositionId: lot.compositionId, packagedLotId: lot.id },
      found: atBookStrength(strengthOf, litres),
      foundComponents: same ? components : countedComponents(components, balance, litres),
      filled: { container: lot.container, nominalLitres: new Exact(lot.nominalLitres) },
      turnedUp: seen?.turnedUp,
      missing: seen?.missing,
    };
  }

  /** Amount that the packaging run had filled by then. It gives the strength of containers that turn up when the books have none in stock. */
  async #filled(tx: Tx, producerId: string, lot: PackagedLotRow, at: Date): Promise<Amount | undefined> {
    const [row] = await tx.$queryRaw<{ litres: string; fermented: string; added: string }[]>`
      SELECT coalesce(sum(p.litres), 0)::text AS litres, coalesce(sum(p.lpa_fermented), 0)::text AS fermented,
             coalesce(sum(p.lpa_added), 0)::text AS added
        FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'stock'
       WHERE p.producer_id = ${producerId}::uuid AND p.operation_id = ${lot.operationId}::uuid AND a.packaged_lot_id = ${lot.id}::uuid
         AND p.occurred_at <= ${at}::timestamptz AND NOT is_reversed(p.producer_id, p.operation_id)`;
    const filled = amount(row.litres, row.fermented, row.added);
    return filled.litres.isZero() ? undefined : filled;
  }
}
