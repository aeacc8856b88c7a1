import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { nominalAccount } from '../../../ledger/books/account.js';
import { minus, pureAlcohol } from '../../../ledger/books/amount.js';
import { rootSumSquare, withoutComponents } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { COVERAGE_FACTOR } from '../../../ledger/figures/figure.js';
import { canonicalText } from '../../../metrology/decimals.js';
import type { Page } from '../../../platform/pagination.js';
import { filteredList, idCursor, pageOf } from '../../../platform/pagination.js';
import { containerRows } from '../../../production/operations/containers/container-events.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { referenced } from '../../../production/shared/references.js';
import type { Facts, PersonalText, Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import { requireReasonFacts } from '../../../tenancy/reasons/reason.rules.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { BookFigure } from './book-figure.js';
import { BookFigureReader } from './book-figures.reader.js';
import type { Count } from './counted.js';
import { countsOf, isMaterialCount, isPackedCount } from './counted.js';
import { toCountedProduct, toStockTakes } from './stock-take.mapper.js';
import { StockTakeReader } from './stock-take.reader.js';
import { requireUsualCount } from './unusual-count.js';
import { offsetsOf } from './offsets.rules.js';
import type { StockOffset } from './stock-takes.dto.js';
import type { CountedProduct, NewStockTake, ProductCount, StockTakeQuery, StockTake } from './stock-takes.dto.js';

/** One product as it goes into the books. */
interface Posted {
  readonly draft: OperationDraft;
  readonly row: RowOf<'stockCount'>;
  readonly texts: readonly PersonalText[];
  readonly product: CountedProduct;
}

/** Book figures of the counts, and the pairs that are set off. */
interface TakeRead {
  readonly figures: readonly BookFigure[];
  readonly offsets: ReadonlyMap<number, StockOffset>;
}

type CountFacts = ProductCount & { readonly countSheet?: string; readonly offset?: StockOffset };

/** Enters stock-takes: each product beside the book figure of its moment. Each is an operation of its own, so that nothing is netted. */
@Injectable()
export class StockTakesService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly events: EventWriter,
    private readonly takes: StockTakeReader,
    private readonly books: BookFigureReader,
    private readonly settings: SettingsReader,
  ) {}

  async list(ctx: RequestContext, query: StockTakeQuery): Promise<Page<StockTake>> {
    const { cursor, limit, ...filter } = query;
    const list = filteredList('stock-takes', query);
    const after = idCursor(list, cursor);
    const rows = await this.database.read(ctx, (tx) => this.takes.page(tx, ctx.producerId, filter, after, limit + 1));
    return pageOf(
      list,
      toStockTakes(rows),
      limit,
      ({ id }) => [id],
      (take) => take,
    );
  }

  async get(ctx: RequestContext, id: string): Promise<StockTake> {
    const rows = await this.database.read(ctx, (tx) => this.takes.one(tx, ctx.producerId, id));
    return toStockTakes(rows).at(0) ?? notFound();
  }

  take(ctx: RequestContext, body: NewStockTake): Promise<Answer<StockTake>> {
    const counts = countsOf(body.counts);
    for (const [index, { reasonCode, explanation }] of body.counts.entries()) {
      const given = { reasonCode, note: explanation, occurredAt: body.occurredAt };
      requireReasonFacts(given, { pointer: `/counts/${index}`, note: 'explanation' });
    }
    const ids = counts.map(() => uuidv7());
    return this.events.write(ctx, body, {
      read: async (tx, { occurredAt }) => {
        await referenced(tx, ctx.producerId, 'premises', body.premisesId, '/premisesId');
        const { usualGaugeDifference, allowStockOffsets } = await this.settings.of(tx, ctx.producerId);
        const figures: BookFigure[] = [];
        for (const [index, count] of counts.entries()) {
          const taken = {
            premisesId: body.premisesId,
            at: occurredAt,
            origin: `operation/${ids[index]}`,
          };
          const figure = await this.books.of(tx, ctx.producerId, count, taken, `/counts/${index}`);
          const { reasonCode, investigatedBy } = body.counts[index];
          await requirePerson(tx, ctx.producerId, investigatedBy, `/counts/${index}/investigatedBy`);
          requireUsualCount(figure, reasonCode, `/counts/${index}`, usualGaugeDifference.value);
          figures.push(figure);
        }
        return { figures, offsets: offsetsOf(body.offsets ?? [], figures, ids, allowStockOffsets === true) };
      },
      plan: (read, head) => this.#plan(ctx, body, head, read, counts, ids),
    });
  }

  #plan(
    ctx: RequestContext,
    body: NewStockTake,
    head: EventHead,
    { figures, offsets }: TakeRead,
    counts: readonly Count[],
    ids: readonly string[],
  ): Plan<StockTake> {
    const stockTakeId = head.id;
    const posted = figures.map((figure, index) =>
      postedOf(
        { ...head, id: ids[index], keyId: ctx.principalId },
        stockTakeId,
        { ...body.counts[index], countSheet: body.countSheet, offset: offsets.get(index) },
        counts[index],
        figure,
      ),
    );
    return {
      batch: {
        action: 'stock-takes.take',
        ...booksOf(...posted.map(({ draft }) => draft)),
        rows: {
          stockCount: posted.map(({ row }) => row),
          containerEvent: figures.flatMap((figure, index) => seenRows(figure, ids[index])),
        },
        personalText: [...posted.flatMap(({ texts }) => texts)],
      },
      reads: readsOf(...figures.map(({ account }) => account)),
      answer: new Answer(
        201,
        {
          id: stockTakeId,
          premisesId: body.premisesId,
          occurredAt: head.occurredAt.toISOString(),
          ...(head.personId === undefined ? {} : { personId: head.personId }),
          ...(body.countSheet === undefined ? {} : { countSheet: body.countSheet }),
          counts: posted.map(({ product }) => product),
        },
        { location: `/v1/stock-takes/${stockTakeId}` },
      ),
    };
  }
}

/** Events of the containers that turned up and of those that were not there. */
const seenRows = (
  { subject, turnedUp = [], missing = [] }: BookFigure,
  operationId: string,
): RowOf<'containerEvent'>[] =>
  (
    [
      ['found', turnedUp],
      ['missing', missing],
    ] as const
  ).flatMap(([event, containers]) =>
    containers.flatMap(({ serial, litres }) =>
      containerRows([serial], { operationId, event, packagedLotId: subject.packagedLotId, litres }),
    ),
  );

/** Facts that were said of a count, for the document of the operation. */
const saidFacts = ({ investigatedBy, countSheet, offset }: CountFacts): Facts => ({
  ...(investigatedBy === undefined ? {} : { investigatedBy }),
  ...(countSheet === undefined ? {} : { countSheet }),
  ...(offset === undefined ? {} : { offset: { ...offset, litres: { ...offset.litres } } }),
});

/** The same for the answer. */
const shownFacts = ({ reasonCode, investigatedBy, offset }: CountFacts) => ({
  reasonCode: reasonCode ?? null,
  investigatedBy: investigatedBy ?? null,
  offset: offset ?? null,
});

function postedOf(
  head: EventHead & { readonly keyId: string },
  stockTakeId: string,
  said: CountFacts,
  count: Count,
  { account, subject, found, foundComponents }: BookFigure,
): Posted {
  const { reasonCode, explanation } = said;
  const change = minus(found, account.balance);
  const changeComponents = withoutComponents(foundComponents, account.components);
  const texts = explanation === undefined ? [] : [{ id: uuidv7(), text: explanation }];
  const paid = account.account.dutyStatus === 'paid' ? 'paid' : null;
  const bookLitres = canonicalText(account.balance.litres);
  const countedLitres = canonicalText(found.litres);
  const draft = new OperationDraft({
    ...head,
    kind: 'count',
    timing: 'assertion',
    premisesId: account.account.premisesId,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    reasonCode,
    document: {
      stockTakeId,
      category: subject.category,
      bookLitres,
      countedLitres,
      ...countedFacts(count),
      ...(paid === null ? {} : { dutyStatus: paid }),
      ...saidFacts(said),
    },
  })
    .assert(account.account, subject)
    .move(
      nominalAccount(account.account, 'stock-difference', subject.category),
      account.account,
      change,
      subject,
      changeComponents,
    );
  const named = namedIn(count);
  return {
    draft,
    row: {
      operationId: head.id,
      stockTakeId,
      ...named,
      compositionId: named.packagedLotId === null ? (subject.compositionId ?? null) : null,
      bookLitres,
      countedLitres,
      reasonCode: reasonCode ?? null,
      textId: texts.at(0)?.id ?? null,
    },
    texts,
    product: toCountedProduct({
      operationId: head.id,
      lotId: subject.lotId ?? null,
      compositionId: subject.compositionId ?? null,
      ...named,
      category: subject.category,
      dutyStatus: paid,
      bookLitres,
      countedLitres,
      differenceLpa: canonicalText(pureAlcohol(change)),
      expandedLitres: (Number(COVERAGE_FACTOR) * rootSumSquare(changeComponents, 'litres')).toFixed(6),
      explanation: null,
      ...shownFacts(said),
    }),
  };
}

/** Ids of the counted product, and the number of containers where they were counted. */
function namedIn(count: Count): Pick<RowOf<'stockCount'>, 'packagedLotId' | 'vesselId' | 'materialLotId' | 'counted'> {
  const none = { packagedLotId: null, vesselId: null, materialLotId: null, counted: null };
  if (isPackedCount(count)) {
    return { ...none, packagedLotId: count.packagedLotId, counted: count.count };
  }
  return isMaterialCount(count)
    ? { ...none, materialLotId: count.materialLotId }
    : { ...none, vesselId: count.vesselId };
}

/** Count or reading as given, for the document of the operation. */
function countedFacts(count: Count): Facts {
  if (isPackedCount(count)) {
    return {
      packagedLotId: count.packagedLotId,
      count: count.count,
      partFull: asGiven(count.partFull),
      ...(count.serials === undefined ? {} : { serials: [...count.serials] }),
    };
  }
  return {
    ...(isMaterialCount(count) ? { materialLotId: count.materialLotId } : { vesselId: count.vesselId }),
    asRead: {
      volume: asGiven(count.volume),
      temperature: asGiven(count.temperature),
      instrumentId: count.instrumentId ?? null,
    },
  };
}

const asGiven = (quantity: { value: number; unit: string } | undefined): Facts | null =>
  quantity === undefined ? null : { value: quantity.value, unit: quantity.unit };
