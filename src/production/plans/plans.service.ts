import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import type { Page, PageQuery } from '../../platform/pagination.js';
import { pageOf } from '../../platform/pagination.js';
import { idRule } from '../../platform/validation/text-rules.js';
import type { RowOf } from '../../tenancy/producer-database/batch.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { toJson } from '../../tenancy/settings/stored-json.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { positionOf } from '../shared/cursor.js';
import { PositionReader } from '../measuring/position/position.reader.js';
import type { PlanKind } from '../shared/plan-reference.js';
import { Planner, requireOnePlan } from './planner.js';
import type { ComputedPlan, NewPlan, PlanAnswer, SavedPlan } from './plans.dto.js';

interface PlanRow {
  id: string;
  lotId: string;
  kind: PlanKind;
  requested: Record<string, unknown>;
  computed: ComputedPlan;
  recordedAt: Date;
  operations: string[];
}

const LIST = 'plan';

const toSavedPlan = ({ recordedAt, ...row }: PlanRow): SavedPlan => ({ ...row, recordedAt: recordedAt.toISOString() });

/** Plans: computed on the lot as it stands, and kept beside the operations that carry them out. */
@Injectable()
export class PlansService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly planner: Planner,
    private readonly positions: PositionReader,
  ) {}

  plan(ctx: RequestContext, lotId: string, body: NewPlan): Promise<Answer<PlanAnswer>> {
    requireOnePlan(body);
    const id = uuidv7();
    const { kind } = body;
    return this.database.write(ctx, {
      read: (tx) => this.planner.compute(tx, ctx.producerId, lotId, body, id),
      plan: (computed) => {
        const requested = toJson({ ...body[kind], declaredStrength: body.declaredStrength });
        const row: RowOf<'plan'> = { id, lotId, kind, asked: requested, computed: toJson(computed) };
        return {
          batch: { action: 'plans.plan', rows: { plan: [row] } },
          answer: new Answer(201, { id, lotId, kind, requested, computed }, { location: `/v1/plans/${id}` }),
        };
      },
    });
  }

  list(ctx: RequestContext, lotId: string, query: PageQuery): Promise<Page<SavedPlan>> {
    const after = query.cursor === undefined ? null : positionOf(LIST, query.cursor, [idRule])[0];
    return this.database.read(ctx, async (tx) => {
      await this.positions.ofLot(tx, ctx.producerId, lotId);
      const rows = await tx.$queryRaw<PlanRow[]>`
        SELECT p.id, p.lot_id AS "lotId", p.kind, p.asked AS requested, p.computed, p.recorded_at AS "recordedAt",
               ARRAY(SELECT o.id::text FROM operation o
                      WHERE o.producer_id = p.producer_id AND o.lot_id = p.lot_id AND o.document ->> 'planId' = p.id::text
                      ORDER BY o.sequence) AS operations
          FROM plan p
         WHERE p.producer_id = ${ctx.producerId}::uuid AND p.lot_id = ${lotId}::uuid AND (${after}::uuid IS NULL OR p.id > ${after}::uuid)
         ORDER BY p.id LIMIT ${query.limit + 1}`;
      return pageOf(LIST, rows, query.limit, (row) => [row.id], toSavedPlan);
    });
  }

  get(ctx: RequestContext, id: string): Promise<SavedPlan> {
    return this.database.read(ctx, async (tx) => {
      const [row] = await tx.$queryRaw<PlanRow[]>`
        SELECT p.id, p.lot_id AS "lotId", p.kind, p.asked AS requested, p.computed, p.recorded_at AS "recordedAt",
               ARRAY(SELECT o.id::text FROM operation o
                      WHERE o.producer_id = p.producer_id AND o.lot_id = p.lot_id AND o.document ->> 'planId' = p.id::text
                      ORDER BY o.sequence) AS operations
          FROM plan p WHERE p.producer_id = ${ctx.producerId}::uuid AND p.id = ${id}::uuid`;
      return row === undefined ? notFound() : toSavedPlan(row);
    });
  }
}
