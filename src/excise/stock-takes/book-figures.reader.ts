import { Injectable } from '@nestjs/common';
import type { MaterialLot } from '../../generated/prisma/client.js';
import type { Subject } from '../../ledger/books/account.js';
import { accountLine, packagedAccount } from '../../ledger/books/account.js';
import type { Amount } from '../../ledger/books/amount.js';
import { amount, atStrengthOf, bookStrengthPercent, NOTHING } from '../../ledger/books/amount.js';
import type { Components } from '../../ledger/books/components.js';
import { countedComponents, NO_COMPONENTS, volumeComponents } from '../../ledger/books/components.js';
import { MomentReader } from '../../ledger/books/moment.reader.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import { StockReader } from '../../ledger/books/stock.reader.js';
import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { toBookLitres } from '../../metrology/units.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { extractOfLot, GravityReadings } from '../../production/findings/gravity-readings.js';
import { BearingLots } from '../../production/material-lots/bearing-lots.js';
import { foundComponents } from '../../production/gauges/gauges.service.js';
import { measuredVolume } from '../../production/measuring/measured-volume.js';
import { VesselVolumeReader } from '../../production/measuring/vessel-volume.reader.js';
import type { PackagedLotRow } from '../../production/packaging/packaged-lot.reader.js';
import { PackagedLotReader } from '../../production/packaging/packaged-lot.reader.js';
import { liquidOf } from '../../production/position/lot-position.js';
import { PositionReader } from '../../production/position/position.reader.js';
import { missingReference, referenced } from '../../production/references.js';
import type { Tx } from '../../tenancy/door/door.js';
import type { BulkCount, Count, MaterialCount, PackedCount } from './counted.js';
import { isMaterialCount, isPackedCount } from './counted.js';

/** One product as the books had it at the moment, and as it was found. */
export interface BookFigure {
  /** As it stood at the moment. */
  readonly account: StockAccount;
  readonly subject: Subject;
  readonly found: Amount;
  readonly foundComponents: Components;
}

/** Where and when a stock-take was. */
export interface Taken {
  readonly premisesId: string;
  readonly at: Date;
  /** Origin of what one reading alone is unsure by. */
  readonly origin: string;
}

const refused = (pointer: string, rule: string, detail: string, more: object = {}): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer, rule, detail, ...more }] });

/** Litres found at the strength that the account had; nothing is found by counting but how much there is. */
const atBookStrength = (balance: Amount, litres: Decimal): Amount =>
  litres.equals(balance.litres) ? balance : atStrengthOf(balance, litres);

/** Reads what the books had of a product at the moment of a stock-take. */
@Injectable()
export class BookFigureReader {
  constructor(
    private readonly stock: StockReader,
    private readonly moments: MomentReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly positions: PositionReader,
    private readonly volumes: VesselVolumeReader,
    private readonly gravities: GravityReadings,
    private readonly bearing: BearingLots,
  ) {}

  /** @throws ProblemException `not-found`; `conflict` for what never stood there, stands elsewhere, or was counted at this moment already */
  async of(tx: Tx, producerId: string, count: Count, taken: Taken, place: string): Promise<BookFigure> {
    const figure = await this.#figure(tx, producerId, count, taken, place);
    await this.#requireFirst(tx, producerId, figure.account.id, taken.at, place);
    return figure;
  }

  #figure(tx: Tx, producerId: string, count: Count, taken: Taken, place: string): Promise<BookFigure> {
    if (isMaterialCount(count)) {
      return this.#material(tx, producerId, count, taken, place);
    }
    return isPackedCount(count)
      ? this.#packed(tx, producerId, count, taken, place)
      : this.#bulk(tx, producerId, count, taken, place);
  }

  async #packed(tx: Tx, producerId: string, count: PackedCount, taken: Taken, place: string): Promise<BookFigure> {
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
    const partFull = count.partFull === undefined ? 0 : toBookLitres(count.partFull, 'volume').litres;
    const litres = new Exact(lot.nominalLitres).times(count.count).plus(partFull);
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
    };
  }

  async #bulk(tx: Tx, producerId: string, count: BulkCount, taken: Taken, place: string): Promise<BookFigure> {
    const lot = await referenced(tx, producerId, 'lot', count.lotId, `${place}/lotId`);
    const measure = await this.volumes.measure(tx, producerId, count.vesselId, count, taken.at, place);
    if (measure.vessel.premisesId !== taken.premisesId) {
      throw refused(`${place}/vesselId`, 'other-premises', 'The vessel stands on other premises.');
    }
    const position = await this.positions.ofLot(tx, producerId, lot.id);
    const held = position.compositions.flatMap(({ accounts }) =>
      accounts.filter(({ account }) => account.vesselId === count.vesselId),
    );
    const account = (await this.moments.asOf(tx, producerId, held, taken.at)).find(({ balance }) =>
      balance.litres.greaterThan(0),
    );
    const target = position.compositions.find(({ composition }) => composition.id === account?.account.compositionId);
    if (account === undefined || target === undefined) {
      const detail = 'The books had nothing of this lot in that vessel then; enter how it came there first.';
      throw refused(`${place}/vesselId`, 'nothing-there', detail);
    }
    const subject = { category: position.lot.category, lotId: lot.id, compositionId: target.composition.id };
    if (count.volume.value === 0) {
      return { account, subject, found: NOTHING, foundComponents: NO_COMPONENTS };
    }
    const extract = extractOfLot(position, await this.gravities.ofLot(tx, producerId, lot.id));
    const measured = VesselVolumeReader.litres(count, measure, liquidOf(target, extract ?? 0), taken.origin);
    const found = atBookStrength(account.balance, measured.litres);
    return {
      account,
      subject,
      found,
      foundComponents: foundComponents(account, found, volumeComponents(measured.byOrigin)),
    };
  }

  async #material(tx: Tx, producerId: string, count: MaterialCount, taken: Taken, place: string): Promise<BookFigure> {
    const pointer = `${place}/materialLotId`;
    const { lot, account: now } = await this.bearing.of(tx, producerId, count.materialLotId, pointer);
    if (now.account.premisesId !== taken.premisesId) {
      throw refused(pointer, 'other-premises', 'The material lot stands on other premises.');
    }
    const calibration = await this.volumes.calibration(tx, producerId, taken.premisesId, count, taken.at, place);
    const [account] = await this.moments.asOf(tx, producerId, [now], taken.at);
    const standing = account.balance.litres.isZero()
      ? await this.#received(tx, producerId, lot, now, taken.at)
      : account;
    if (standing === undefined) {
      throw refused(pointer, 'never-there', 'It had not come in then, or that was reversed.');
    }
    const subject = { category: 'materials', materialLotId: lot.id };
    if (count.volume.value === 0) {
      return { account, subject, found: NOTHING, foundComponents: NO_COMPONENTS };
    }
    // Nothing says what a flavouring has dissolved; it expands as alcohol and water of its strength do.
    const liquid = {
      kind: 'drink',
      strengthPercent: bookStrengthPercent(standing.balance) ?? 0,
      extractPlato: 0,
    } as const;
    const scale = calibration?.origin ?? `material-lot/${lot.id}`;
    const measured = measuredVolume(count, liquid, calibration, { scale, reading: taken.origin });
    const found = atBookStrength(standing.balance, measured.litres);
    return {
      account,
      subject,
      found,
      foundComponents: foundComponents(standing, found, volumeComponents(measured.byOrigin)),
    };
  }

  /** The material lot as it came in: the strength of what turns up when the books have none left. */
  async #received(
    tx: Tx,
    producerId: string,
    lot: MaterialLot,
    now: StockAccount,
    at: Date,
  ): Promise<StockAccount | undefined> {
    const [{ reversed }] = await tx.$queryRaw<{ reversed: boolean }[]>`
      SELECT is_reversed(${producerId}::uuid, ${lot.operationId}::uuid) AS reversed`;
    if (reversed || lot.receivedAt > at) {
      return undefined;
    }
    const [received] = await this.moments.asOf(tx, producerId, [now], lot.receivedAt);
    return received.balance.litres.isZero() ? undefined : received;
  }

  /** What the run had put into the containers by then: the strength of those that turn up when the books have none left. */
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

  async #requireFirst(tx: Tx, producerId: string, accountId: string, at: Date, place: string): Promise<void> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT o.id FROM posting p JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
       WHERE p.producer_id = ${producerId}::uuid AND p.account_id = ${accountId}::uuid AND p.occurred_at = ${at}::timestamptz
         AND o.kind = 'count' AND NOT is_reversed(o.producer_id, o.id) LIMIT 1`;
    const seen = rows.at(0);
    if (seen !== undefined) {
      const detail = 'It was counted at this moment already; correct that count, or give another time.';
      throw refused(place, 'counted-already', detail, { operation: seen.id });
    }
  }
}
