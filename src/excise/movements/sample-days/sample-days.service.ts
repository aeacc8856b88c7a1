import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { nominalAccount } from '../../../ledger/books/account.js';
import { drawnFrom, pureAlcohol } from '../../../ledger/books/amount.js';
import { drawnComponents } from '../../../ledger/books/components.js';
import { headSequence } from '../../../ledger/books/head.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import { requireInStock } from '../../../ledger/books/not-enough.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { canonicalText } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { HAS_SAMPLE } from '../../../production/measuring/readings/reading-kinds.js';
import { referenced } from '../../../production/shared/references.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import type { NewSampleDay, SampleDay } from './sample-days.dto.js';

/** Readings of one day out of one vessel with one composition in it. */
interface Taken {
  readonly accountId: string;
  readonly vesselId: string;
  readonly compositionId: string;
  readonly lotId: string;
  readonly category: string;
  readonly readings: number;
  readonly lastAt: Date;
}

interface DayRead {
  readonly taken: readonly Taken[];
  readonly stock: readonly StockAccount[];
  readonly eachLitres: Decimal;
  /** A movement that stands and summed the day before. */
  readonly summed: string | undefined;
  readonly head: bigint;
}

const refused = (pointer: string, rule: string, detail: string, more: object = {}): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer, rule, detail, ...more }] });

/** Sums what the readings of a day took out of the vessels. */
@Injectable()
export class SampleDaysService {
  constructor(
    private readonly events: EventWriter,
    private readonly settings: SettingsReader,
    private readonly stock: StockReader,
  ) {}

  sum(ctx: RequestContext, body: NewSampleDay): Promise<Answer<SampleDay>> {
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, body),
      plan: (read) => plan(ctx, body, read),
    });
  }

  private async read(tx: Tx, producerId: string, { premisesId, day }: NewSampleDay): Promise<DayRead> {
    const premises = await referenced(tx, producerId, 'premises', premisesId, '/premisesId');
    const { sampleVolume } = await this.settings.of(tx, producerId);
    // What stood in the vessel is asked of the books now: what was entered after the reading may have happened before it.
    const taken = await tx.$queryRaw<Taken[]>`
      SELECT a.id AS "accountId", a.vessel_id AS "vesselId", a.composition_id AS "compositionId", l.id AS "lotId", l.category,
             count(*)::int AS readings, max(r.taken_at) AS "lastAt"
        FROM reading r
        JOIN lot l ON l.producer_id = r.producer_id AND l.id = r.lot_id
        JOIN composition c ON c.producer_id = r.producer_id AND c.lot_id = r.lot_id
        JOIN account a ON a.producer_id = r.producer_id AND a.kind = 'liquid' AND a.vessel_id = r.vessel_id AND a.composition_id = c.id
         AND a.premises_id = ${premisesId}::uuid
        LEFT JOIN reading_strike s ON s.producer_id = r.producer_id AND s.reading_id = r.id
       WHERE r.producer_id = ${producerId}::uuid AND r.kind = ANY (${[...HAS_SAMPLE]}) AND r.vessel_id IS NOT NULL AND s.reading_id IS NULL
         AND (r.taken_at AT TIME ZONE ${premises.timeZone})::date = ${day}::date
         AND (SELECT sum(p.litres) FROM posting p
               WHERE p.producer_id = a.producer_id AND p.account_id = a.id AND p.occurred_at <= r.taken_at) > 0
       GROUP BY a.id, a.vessel_id, a.composition_id, l.id, l.category
       ORDER BY a.vessel_id, a.composition_id`;
    const [before] = await tx.$queryRaw<{ id: string }[]>`
      SELECT o.id FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${premisesId}::uuid AND o.kind = 'movement'
         AND o.document ->> 'samplesOf' = ${day} AND NOT is_reversed(o.producer_id, o.id) LIMIT 1`;
    const ids = taken.map(({ accountId }) => accountId);
    return {
      taken,
      stock: await this.stock.ofIds(tx, producerId, ids),
      eachLitres: toBookLitres(sampleVolume).litres,
      summed: before?.id,
      head: await headSequence(tx, producerId),
    };
  }
}

/** @throws ProblemException `conflict` without a volume of a reading, without readings, or for a day that was summed; `insufficient-stock` */
function plan(ctx: RequestContext, body: NewSampleDay, read: DayRead): Plan<SampleDay> {
  const { premisesId, day } = body;
  if (read.eachLitres.isZero()) {
    throw refused('', 'no-sample-volume', 'The settings say that a reading takes nothing out: set sampleVolume first.');
  }
  if (read.summed !== undefined) {
    throw refused('/day', 'summed', 'The day has been summed already.', { operation: read.summed });
  }
  if (read.taken.length === 0) {
    throw refused('/day', 'no-readings', 'No reading of that day names a vessel in which the books had its lot then.');
  }
  const posted = read.taken.map((taken) => sampleOf(ctx, body, read, taken));
  return {
    batch: {
      action: 'samples.day',
      ...booksOf(...posted.map(({ draft }) => draft)),
      rows: {
        movement: posted.map(({ id, taken, litres }) => ({
          operationId: id,
          kind: 'sample',
          packagedLotId: null,
          compositionId: taken.compositionId,
          materialLotId: null,
          count: null,
          litres: canonicalText(litres),
          dutyDate: null,
          strengthForDutyPercent: null,
          counterpartyTextId: null,
          witnessTextId: null,
          evidence: {},
        })),
      },
    },
    head: read.head,
    answer: new Answer(201, {
      premisesId,
      day,
      samples: posted.map(({ id, taken, litres, moved }) => ({
        movementId: id,
        lotId: taken.lotId,
        vesselId: taken.vesselId,
        readings: taken.readings,
        litres: toLitres(litres),
        litresOfPureAlcohol: toLitres(pureAlcohol(moved)),
      })),
    }),
  };
}

/** One operation for what the readings of a day took out of one account. @throws ProblemException `insufficient-stock` */
function sampleOf(ctx: RequestContext, body: NewSampleDay, read: DayRead, taken: Taken) {
  const litres = read.eachLitres.times(taken.readings);
  const stock = read.stock.find(({ id }) => id === taken.accountId);
  if (stock === undefined) {
    throw new Error(`Account ${taken.accountId} has postings and no balance.`);
  }
  requireInStock(stock.balance.litres, { account: stock.account, litres, pointer: '/day' });
  const subject = { category: taken.category, lotId: taken.lotId, compositionId: taken.compositionId };
  const moved = drawnFrom(stock.balance, litres);
  const id = uuidv7();
  const draft = new OperationDraft({
    id,
    kind: 'movement',
    timing: 'draw',
    premisesId: body.premisesId,
    occurredAt: taken.lastAt,
    lotId: taken.lotId,
    compositionId: taken.compositionId,
    personId: body.personId,
    keyId: ctx.principalId,
    document: {
      movement: 'sample',
      evidence: {},
      vesselId: taken.vesselId,
      volume: { value: litres.toNumber(), unit: 'L' },
      samplesOf: body.day,
      readings: taken.readings,
    },
  }).move(
    stock.account,
    nominalAccount(stock.account, 'samples', taken.category),
    moved,
    subject,
    drawnComponents(stock.components, stock.balance, litres),
  );
  return { id, taken, litres, moved, draft };
}
