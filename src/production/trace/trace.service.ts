import { Injectable } from '@nestjs/common';
import type { Genealogy } from '../../ledger/genealogy/genealogy.reader.js';
import { GenealogyReader } from '../../ledger/genealogy/genealogy.reader.js';
import { Clock } from '../../platform/clock.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { PackagedLotReader } from '../measuring/packed/packaged-lot.reader.js';
import { malformed } from '../shared/references.js';
import type { Traced } from './sources.js';
import { lotTracer, MARKED, materialTracer, packagedTracer, quantitiesIn, shareIn, traceSources } from './sources.js';
import type { Direction, RecallQuery, Recall, TracedReceipt, TracedThing, Trace } from './trace.dto.js';
import { TraceReader } from './trace.reader.js';
import {
  bulkRecipient,
  materialAmounts,
  toTracedMaterialLot,
  toTracedPackagedLot,
  recipientOf,
  vesselsWith,
} from './trace.mapper.js';

type OneLot = 'lot' | 'packaged-lot' | 'material-lot';

/** Subject of a trace: one lot of a kind, or several packaged lots of one mark. */
interface Traceable {
  readonly kind: OneLot;
  readonly ids: readonly string[];
  readonly tracer: string;
  readonly thing: TracedThing;
}

/** Runs that may carry one lot mark. */
const MOST_OF_ONE_MARK = 1_000;

const TRACERS = { lot: lotTracer, 'packaged-lot': packagedTracer, 'material-lot': materialTracer } as const;

/** Follows lots back to what they were made from and forward to whom they went. */
@Injectable()
export class TraceService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly genealogy: GenealogyReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly reader: TraceReader,
  ) {}

  trace(ctx: RequestContext, kind: OneLot, id: string, direction: Direction = 'backward'): Promise<Trace> {
    return this.database.read(ctx, async (tx) => {
      const of = await this.one(tx, ctx.producerId, kind, id);
      return direction === 'backward' ? this.backward(tx, ctx.producerId, of) : this.forward(tx, ctx.producerId, of);
    });
  }

  /** Each packaged lot with some of it once, where it went and what is on hand. */
  recall(ctx: RequestContext, query: RecallQuery): Promise<Recall> {
    requireOne(query);
    return this.database.read(ctx, async (tx) => {
      const of = await this.asked(tx, ctx.producerId, query);
      const { packagedLots, bulk, vessels } = await this.forward(tx, ctx.producerId, of);
      return { of: of.thing, asOf: this.clock.now().toISOString(), packagedLots, bulk, vessels };
    });
  }

  private async asked(tx: Tx, producerId: string, query: RecallQuery): Promise<Traceable> {
    const { lotId, lotCode, materialLotId, packagedLotId, lotMark } = query;
    if (lotMark !== undefined) {
      const rows = await this.packagedLots.page(tx, producerId, { lotMark }, MOST_OF_ONE_MARK);
      return rows.length === 0
        ? notFound()
        : {
            kind: 'packaged-lot',
            ids: rows.map(({ id }) => id),
            tracer: MARKED,
            thing: { kind: 'lot-mark', code: rows[0].lotMark },
          };
    }
    if (lotCode !== undefined) {
      return this.one(tx, producerId, 'lot', (await this.reader.lotOfCode(tx, producerId, lotCode)) ?? notFound());
    }
    if (lotId !== undefined) {
      return this.one(tx, producerId, 'lot', lotId);
    }
    return materialLotId === undefined
      ? this.one(tx, producerId, 'packaged-lot', packagedLotId ?? '')
      : this.one(tx, producerId, 'material-lot', materialLotId);
  }

  private async one(tx: Tx, producerId: string, kind: OneLot, id: string): Promise<Traceable> {
    const code =
      kind === 'lot'
        ? (await this.reader.lotCodes(tx, producerId, [id])).get(id)
        : kind === 'packaged-lot'
          ? (await this.packagedLots.row(tx, producerId, id))?.lotMark
          : (await this.reader.materialLots(tx, producerId, [id])).at(0)?.code;
    return code === undefined ? notFound() : { kind, ids: [id], tracer: TRACERS[kind](id), thing: { kind, id, code } };
  }

  private async roots(tx: Tx, producerId: string, { kind, ids }: Traceable): Promise<string[]> {
    switch (kind) {
      case 'lot':
        return this.genealogy.accountsOfLot(tx, producerId, ids[0]);
      case 'packaged-lot':
        return this.genealogy.accountsOf(tx, producerId, { packagedLots: ids });
      case 'material-lot':
        return [
          ...(await this.genealogy.accountsOf(tx, producerId, { materialLots: ids })),
          ...(await this.genealogy.accountsNaming(tx, producerId, ids[0])),
        ];
    }
  }

  private async backward(tx: Tx, producerId: string, of: Traceable): Promise<Trace> {
    const genealogy = await this.genealogy.backward(tx, producerId, await this.roots(tx, producerId, of));
    const { arrivals } = traceSources(genealogy);
    const arrival = arrivals.get(of.tracer) ?? { litres: 0, amounts: new Map<string, number>() };
    const ids = (prefix: string): string[] =>
      [...arrival.amounts].filter(([tracer]) => tracer.startsWith(prefix)).map(([tracer]) => tracer.split('/')[1]);
    const lotIds = ids('lot/').filter((id) => of.kind !== 'lot' || id !== of.ids[0]);
    const codes = await this.reader.lotCodes(tx, producerId, lotIds);
    const quantities = quantitiesIn(arrival);
    const materialLots = await this.reader.materialLots(tx, producerId, ids('material/'));
    const own = of.kind === 'lot' ? of.ids : [];
    return {
      of: of.thing,
      direction: 'backward',
      lots: lotIds.map((id) => ({
        lotId: id,
        code: String(codes.get(id)),
        share: shareIn(arrival, lotTracer(id)),
      })),
      materialLots: materialLots.map((row) => ({
        ...toTracedMaterialLot(row),
        share: shareIn(arrival, materialTracer(row.id)),
        ...materialAmounts(quantities.filter(({ id }) => id === row.id)),
      })),
      receipts: await this.receipts(tx, producerId, of, [
        ...own.map((lotId) => ({ lotId, code: of.thing.code, share: 1 })),
        ...lotIds.map((id) => ({ lotId: id, code: String(codes.get(id)), share: shareIn(arrival, lotTracer(id)) })),
      ]),
      packagedLots: [],
      bulk: [],
      vessels: [],
    };
  }

  /** Drink that others made, of the lots that are in it; of packed drink only the run that is traced. */
  private async receipts(
    tx: Tx,
    producerId: string,
    of: Traceable,
    lots: readonly { readonly lotId: string; readonly code: string; readonly share: number }[],
  ): Promise<TracedReceipt[]> {
    const shares = new Map(lots.map((each) => [each.lotId, each]));
    const rows = await this.reader.receipts(tx, producerId, [...shares.keys()]);
    return rows
      .filter(({ packagedLotId }) => of.kind === 'lot' || packagedLotId === null || of.ids.includes(packagedLotId))
      .map(({ id, occurredAt, lotId, facts }) => ({
        receiptId: id,
        kind: facts.kind,
        lotId: String(lotId),
        lotCode: shares.get(String(lotId))?.code ?? '',
        supplier: facts.supplier,
        document: { ...facts.document },
        occurredAt: occurredAt.toISOString(),
        share: shares.get(String(lotId))?.share ?? 0,
      }));
  }

  private async forward(tx: Tx, producerId: string, of: Traceable): Promise<Trace> {
    const genealogy = await this.genealogy.forward(tx, producerId, await this.roots(tx, producerId, of));
    const { tracer } = of;
    const marked = tracer === MARKED ? of.ids : [];
    const traced = traceSources(genealogy, (each) => each === tracer, marked);
    const reached = [...traced.arrivals].filter(([, arrival]) => (arrival.amounts.get(tracer) ?? 0) > 0);
    const idsOf = (prefix: string): string[] =>
      reached.filter(([group]) => group.startsWith(prefix)).map(([group]) => group.split('/')[1]);
    const lotIds = idsOf('lot/').filter((id) => of.kind !== 'lot' || id !== of.ids[0]);
    const codes = await this.reader.lotCodes(tx, producerId, lotIds);
    return {
      of: of.thing,
      direction: 'forward',
      lots: lotIds.map((id) => ({
        lotId: id,
        code: String(codes.get(id)),
        share: shareIn(traced.arrivals.get(lotTracer(id)) ?? { litres: 0, amounts: new Map() }, tracer),
      })),
      materialLots: [],
      receipts: [],
      ...(await this.goods(tx, producerId, { genealogy, traced, tracer, packagedIds: idsOf('packaged/') })),
    };
  }

  private async goods(
    tx: Tx,
    producerId: string,
    found: { genealogy: Genealogy; traced: Traced; tracer: string; packagedIds: readonly string[] },
  ): Promise<Pick<Trace, 'packagedLots' | 'bulk' | 'vessels'>> {
    const { genealogy, traced, tracer, packagedIds } = found;
    const outflows = traced.followed.left.filter(({ amounts }) => (amounts.get(tracer) ?? 0) > 0);
    const movements = await this.reader.movements(
      tx,
      producerId,
      packagedIds,
      outflows.map(({ operation }) => operation),
    );
    const onHand = await this.reader.onHand(tx, producerId, packagedIds);
    const rows = await this.packagedLots.ofIds(tx, producerId, packagedIds);
    const vessels = vesselsWith(genealogy, traced, tracer);
    const names = await this.reader.vesselNames(
      tx,
      producerId,
      vessels.map(({ vesselId }) => vesselId),
    );
    return {
      packagedLots: rows.map((row) =>
        toTracedPackagedLot(row, {
          arrival: traced.arrivals.get(packagedTracer(row.id)) ?? { litres: 0, amounts: new Map() },
          injected: traced.injected.get(tracer) ?? 0,
          tracer,
          onHandLitres: onHand.get(row.id) ?? 0,
          movements: movements.filter(({ packagedLotId }) => packagedLotId === row.id),
        }),
      ),
      bulk: movements.filter(bulkRecipient).map(recipientOf),
      vessels: vessels.map((each) => ({ ...each, vessel: String(names.get(each.vesselId)) })),
    };
  }
}

/** @throws ProblemException `validation-failed` unless the request names one thing to recall */
function requireOne({ lotId, lotCode, materialLotId, packagedLotId, lotMark }: RecallQuery): void {
  const given = [lotId, lotCode, materialLotId, packagedLotId, lotMark].filter((each) => each !== undefined);
  if (given.length !== 1) {
    const detail = 'Give exactly one of lotMark, lotCode, lotId, packagedLotId and materialLotId.';
    throw malformed({ pointer: '/lotMark', in: 'query', rule: 'exactly-one', detail });
  }
}
