import { Injectable } from '@nestjs/common';
import type { AccountKey } from '../../ledger/books/account.js';
import { accountLine, packagedAccount } from '../../ledger/books/account.js';
import { headSequence } from '../../ledger/books/head.js';
import type { Explained } from '../../ledger/corrections/explanations.js';
import { ExplanationReader } from '../../ledger/corrections/explanations.js';
import { canonicalText } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { countedContainers, groupedNumber } from '../../platform/words.js';
import type { PackagedLotRow } from '../../production/measuring/packed/packaged-lot.reader.js';
import { PackagedLotReader } from '../../production/measuring/packed/packaged-lot.reader.js';
import type { FollowedLot } from '../../production/operations/containers/container-events.js';
import { followedLot } from '../../production/operations/containers/container.reader.js';
import { missingReference, referenced } from '../../production/shared/references.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { Packed } from './goods.js';
import type { Matched } from './matched.js';
import { matchedReleases } from './matched-releases.js';
import type { MovementRow } from './movement.reader.js';
import { MovementReader } from './movement.reader.js';
import type { Asked } from './source.js';
import { packedLitres, requestOf } from './movement-source.js';
import type { Outstanding } from './outstanding.reader.js';
import { OutstandingReader } from './outstanding.reader.js';

/** Returned goods, the account that they come back to, and the outstanding goods that they are part of. */
export interface ReturnTarget {
  readonly lot: PackagedLotRow;
  readonly account: AccountKey;
  readonly litres: Decimal;
  readonly outstanding: Outstanding;
  readonly explained: Explained | undefined;
  readonly followed: FollowedLot | undefined;
  readonly returnedFrom: Matched;
  /** Trail sequence of the read. Outstanding goods depend on every account of the packaged lot, also on accounts that another return may open. */
  readonly head: bigint;
}

interface ReturnAsked extends Asked {
  /** Movement out that the goods came from. */
  readonly returnOf: string | undefined;
}

/** Finds the account that goods come back to: their packaged lot's, at the premises that took them back. */
@Injectable()
export class ReturnTargets {
  constructor(
    private readonly packagedLots: PackagedLotReader,
    private readonly outstanding: OutstandingReader,
    private readonly explanations: ExplanationReader,
    private readonly movements: MovementReader,
  ) {}

  /** @throws ProblemException `not-found`; `insufficient-stock` for more than has left and not come back; `conflict` for another movement than theirs */
  async of(
    tx: Tx,
    producerId: string,
    goods: Packed,
    { occurredAt, explains, returnOf }: ReturnAsked,
  ): Promise<ReturnTarget> {
    const lot = await this.packagedLots.row(tx, producerId, goods.packagedLotId);
    if (lot === undefined) {
      throw missingReference('/packagedLotId');
    }
    if (goods.premisesId !== undefined) {
      await referenced(tx, producerId, 'premises', goods.premisesId, '/premisesId');
    }
    const { premisesId = lot.premisesId } = goods;
    const litres = packedLitres(lot, goods);
    const outstanding = await this.outstanding.of(tx, producerId, lot.id, occurredAt);
    requireOutstanding(outstanding, litres, lot, goods);
    const rows = await this.movements.outAndBack(tx, producerId, lot.id);
    const returnedFrom = matchedReleases(rows, { litres, at: occurredAt, named: returnOf });
    const dutyStatus = goods.isStatusGiven || !wentOutPaid(rows, returnedFrom) ? goods.dutyStatus : 'paid';
    const account = packagedAccount({ premisesId, dutyStatus, owner: lot.owner }, lot.id);
    const isOwn = (key: AccountKey) => accountLine(key) === accountLine(account);
    const explained = await this.explanations.ifGiven(tx, producerId, explains, occurredAt, isOwn);
    const followed = await followedLot(tx, producerId, lot, { premisesId, dutyStatus, at: occurredAt });
    return {
      lot,
      account,
      litres,
      outstanding,
      explained,
      followed,
      returnedFrom,
      head: await headSequence(tx, producerId),
    };
  }
}

/** Tells that all that came back had gone out with its duty paid before. */
function wentOutPaid(rows: readonly MovementRow[], { releases }: Matched): boolean {
  const paid = new Set(rows.filter(({ dutyStatus }) => dutyStatus === 'paid').map(({ id }) => id));
  return releases.length > 0 && releases.every(({ operationId }) => paid.has(operationId));
}

/** @throws ProblemException `insufficient-stock` for more than went out and has not come back */
function requireOutstanding({ balance }: Outstanding, litres: Decimal, lot: PackagedLotRow, goods: Packed): void {
  if (litres.lessThanOrEqualTo(balance.litres)) {
    return;
  }
  const { pointer, containers } = requestOf(lot, goods);
  const amount = (each: Decimal): string =>
    containers === undefined
      ? `${groupedNumber(canonicalText(each))} L`
      : countedContainers(each.dividedBy(lot.nominalLitres).floor().toNumber(), lot.container);
  const detail = `${amount(balance.litres)} had gone out by then and not come back; ${amount(litres)} are said to have come back.`;
  throw new ProblemException('insufficient-stock', detail, {
    errors: [{ pointer, rule: 'more-than-outstanding', detail }],
    members: {
      outstanding: { value: balance.litres.toNumber(), unit: 'L' },
      requested: { value: litres.toNumber(), unit: 'L' },
    },
  });
}
