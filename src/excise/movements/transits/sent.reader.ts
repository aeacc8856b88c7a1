import { Injectable } from '@nestjs/common';
import type { Subject } from '../../../ledger/books/account.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import type { Lot, Vessel } from '../../../generated/prisma/client.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { receivingLot } from '../../../production/lots/receiving-lot.js';
import { PackagedLotReader } from '../../../production/measuring/packed/packaged-lot.reader.js';
import type { FollowedLot } from '../../../production/operations/containers/container-events.js';
import { followedLot } from '../../../production/operations/containers/container.reader.js';
import type { CompositionPosition } from '../../../production/measuring/position/lot-position.js';
import { PositionReader } from '../../../production/measuring/position/position.reader.js';
import { referenced } from '../../../production/shared/references.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { packedSubject } from '../movement-source.js';
import type { FinishedBulk } from './finished-bulk.reader.js';
import { FinishedBulkReader } from './finished-bulk.reader.js';
import type { TransitRow } from './transit.reader.js';
import { stateOf, TransitReader } from './transit.reader.js';
import type { NewArrival } from './transits.dto.js';

/** A consignment that is on the way, with what is in it. */
export interface ArrivalRead {
  readonly transit: TransitRow;
  readonly account: StockAccount;
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
  /** Of packed goods that are followed by serial. */
  readonly followed: FollowedLot | undefined;
  /** Of packed goods. */
  readonly nominalLitres: string | undefined;
  /** Lot and vessel that received bulk. */
  readonly receiving:
    { readonly lot: Lot; readonly vessel: Vessel; readonly standing: CompositionPosition | undefined } | undefined;
  /** Of bulk: the strength that it has when it arrives. */
  readonly finding: FindingRow | undefined;
}

export const refused = (pointer: string, rule: string, detail: string, more: object = {}): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer, rule, detail, ...more }] });

/** Reads consignments that are on the way and can arrive. */
@Injectable()
export class SentReader {
  constructor(
    private readonly transits: TransitReader,
    private readonly stock: StockReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly finished: FinishedBulkReader,
    private readonly positions: PositionReader,
  ) {}

  /** Requires that bulk can be sent: it has a finding of record. @throws ProblemException `finding-needed` */
  requireFinished(tx: Tx, producerId: string, compositionId: string): Promise<FinishedBulk> {
    return this.finished.of(tx, producerId, compositionId);
  }

  /** @throws ProblemException `not-found`; `conflict` for what has arrived or was reversed */
  async of(tx: Tx, producerId: string, id: string, body: NewArrival): Promise<ArrivalRead> {
    const transit = (await this.transits.row(tx, producerId, id)) ?? notFound();
    if (stateOf(transit) !== 'on-the-way') {
      const arrived = transit.arrivalId !== null;
      const detail = arrived ? 'An arrival of it has been entered.' : 'It was reversed: nothing is on the way.';
      throw refused('', arrived ? 'arrived-already' : 'reversed', detail, { operation: transit.arrivalId ?? id });
    }
    const [account] = await this.stock.ofTransit(tx, producerId, id);
    const receiving =
      body.lotId === undefined || body.vesselId === undefined
        ? undefined
        : {
            lot: await receivingLot(tx, producerId, body.lotId, '/lotId'),
            vessel: await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId'),
            standing: await this.positions.inVessel(tx, producerId, body.vesselId),
          };
    if (transit.packagedLotId === null) {
      const { subject, finding } = await this.finished.of(tx, producerId, transit.compositionId);
      return { transit, account, subject, nominalLitres: undefined, followed: undefined, receiving, finding };
    }
    const lot = await this.packagedLots.row(tx, producerId, transit.packagedLotId);
    if (lot === undefined) {
      throw new Error(`transit ${id} has no packaged lot`);
    }
    const { nominalLitres } = lot;
    const place = { premisesId: transit.fromPremisesId, dutyStatus: transit.dutyStatus, at: transit.occurredAt };
    const followed = await followedLot(tx, producerId, lot, place);
    return { transit, account, subject: packedSubject(lot), nominalLitres, followed, receiving, finding: undefined };
  }
}
