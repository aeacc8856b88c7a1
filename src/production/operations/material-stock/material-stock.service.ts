import { Injectable } from '@nestjs/common';
import type { EventHead } from '../../../ledger/books/event.js';
import { headSequence } from '../../../ledger/books/head.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact } from '../../../metrology/decimals.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { findRow, malformed } from '../../shared/references.js';
import type { MaterialEntry, NewMaterialCount, NewMaterialWriteOff } from './material-stock.dto.js';
import type { MaterialOnHand } from './material-stock.reader.js';
import { MaterialStockReader } from './material-stock.reader.js';
import { belowZeroFlag, inUnitOf } from './material-use.js';

type Kind = 'counted' | 'written-off';

interface EntryRead {
  readonly lot: MaterialOnHand;
  /** Of entries that are later than this one. */
  readonly later: { readonly taken: Decimal; readonly counted: boolean };
  readonly trailHead: bigint;
}

const OPERATIONS = { counted: 'material-count', 'written-off': 'material-write-off' } as const;

/** Counts and write-offs of material lots that bear no alcohol: quantities beside the double entry, in the unit of the lot. */
@Injectable()
export class MaterialStockService {
  constructor(
    private readonly events: EventWriter,
    private readonly stock: MaterialStockReader,
  ) {}

  count(ctx: RequestContext, id: string, body: NewMaterialCount): Promise<Answer<MaterialEntry>> {
    return this.enter(ctx, id, 'counted', body);
  }

  writeOff(ctx: RequestContext, id: string, body: NewMaterialWriteOff): Promise<Answer<MaterialEntry>> {
    return this.enter(ctx, id, 'written-off', body);
  }

  private enter(ctx: RequestContext, id: string, kind: Kind, body: NewMaterialCount): Promise<Answer<MaterialEntry>> {
    return this.events.write(ctx, body, {
      read: (tx, head) => this.read(tx, ctx.producerId, id, head.occurredAt),
      plan: (read, head) => planOf(kind, body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, id: string, at: Date): Promise<EntryRead> {
    const lot = (await this.stock.of(tx, producerId, [id])).get(id);
    if (lot === undefined) {
      const known = await findRow(tx, producerId, 'materialLot', { id });
      return known === undefined ? notFound() : inTheBooks();
    }
    return {
      lot,
      later: await this.stock.since(tx, producerId, id, at),
      trailHead: await headSequence(tx, producerId),
    };
  }
}

/** @throws ProblemException `conflict` */
function inTheBooks(): never {
  const detail =
    'The material lot contains alcohol, so that its stock is in the books: count it by a stock-take, and enter what left as a movement.';
  throw new ProblemException('conflict', detail, { errors: [{ pointer: '', rule: 'bears-alcohol', detail }] });
}

function planOf(
  kind: Kind,
  body: NewMaterialCount,
  { lot, later, trailHead }: EntryRead,
  head: EventHead,
): Plan<MaterialEntry> {
  const quantity = quantityIn(lot, body);
  const change = changeBy(kind, quantity, lot, later);
  const onHand = lot.onHand.plus(change);
  const operation = {
    ...head,
    kind: OPERATIONS[kind],
    timing: 'draw' as const,
    premisesId: lot.premisesId,
    reasonCode: body.reasonCode,
    document: { materialLotId: lot.id, quantity: { value: quantity.toNumber(), unit: lot.unit } },
  };
  const inUnit = (value: Decimal) => ({ value: value.toNumber(), unit: lot.unit });
  return {
    batch: {
      action: kind === 'counted' ? 'material-lots.count' : 'material-lots.write-off',
      ...booksOf(new OperationDraft(operation)),
      rows: { materialEntry: [{ operationId: head.id, materialLotId: lot.id, kind, quantity: quantity.toFixed() }] },
    },
    head: trailHead,
    answer: new Answer(201, {
      operationId: head.id,
      kind: OPERATIONS[kind],
      occurredAt: head.occurredAt.toISOString(),
      materialLotId: lot.id,
      quantity: inUnit(quantity),
      change: inUnit(change),
      onHand: inUnit(onHand),
      flags: onHand.isNegative() ? [belowZeroFlag(lot, onHand)] : [],
    }),
  };
}

/** @throws ProblemException `validation-failed` for a mass of a lot that is kept by volume, or the other way round */
function quantityIn(lot: MaterialOnHand, { quantity }: NewMaterialCount): Decimal {
  const found = inUnitOf(lot, quantity);
  if (found === undefined) {
    const detail = `${lot.code} is kept in ${lot.unit}: give ${lot.unit === 'kg' ? 'a mass' : 'a volume'}.`;
    throw malformed({ pointer: '/quantity/unit', rule: 'unit-of-lot', detail });
  }
  return found;
}

/** A later count stands, whatever is entered before it. */
function changeBy(kind: Kind, quantity: Decimal, { onHand }: MaterialOnHand, later: EntryRead['later']): Decimal {
  if (later.counted) {
    return new Exact(0);
  }
  return kind === 'counted' ? quantity.minus(later.taken).minus(onHand) : quantity.negated();
}
