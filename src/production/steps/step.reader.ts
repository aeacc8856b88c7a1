import { Injectable } from '@nestjs/common';
import type { Prisma } from '../../generated/prisma/client.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { listFromJson } from '../../tenancy/settings/stored-json.js';
import { PlannedStep } from '../shared/steps/planned-step.dto.js';

/** A step as it is kept; temperatures in °C, durations in minutes. */
export interface StepRow {
  readonly id: string;
  readonly lotId: string;
  readonly vesselId: string | null;
  readonly kind: string;
  readonly step: number | null;
  readonly temperatureC: number | null;
  readonly durationMin: number | null;
  readonly outcome: string;
  readonly replaces: string | null;
  readonly replacedBy: string | null;
  readonly personId: string | null;
  readonly note: string | null;
  readonly doneAt: Date;
}

export interface StepPlan {
  readonly planned: readonly PlannedStep[];
  /** First charge of the lot, or its beginning while nothing is charged: planned times count from it. */
  readonly startedAt: Date;
}

/** Reads the planned steps of lots and those that were entered. */
@Injectable()
export class StepReader {
  /** Undefined for a lot that the producer does not have. */
  async planOf(tx: Tx, producerId: string, lotId: string): Promise<StepPlan | undefined> {
    const [row] = await tx.$queryRaw<({ steps: Prisma.JsonValue; startedAt: Date } | undefined)[]>`
      SELECT v.plan -> 'steps' AS steps,
             coalesce((SELECT min(c.opened_at) FROM composition c WHERE c.producer_id = l.producer_id AND c.lot_id = l.id), l.created_at) AS "startedAt"
        FROM lot l LEFT JOIN recipe_version v ON v.producer_id = l.producer_id AND v.id = l.recipe_version_id
       WHERE l.producer_id = ${producerId}::uuid AND l.id = ${lotId}::uuid`;
    if (row === undefined) {
      return undefined;
    }
    const { steps, startedAt } = row;
    return { planned: steps === null ? [] : listFromJson(PlannedStep, 'recipe_version.plan.steps', steps), startedAt };
  }

  ofLot(tx: Tx, producerId: string, lotId: string): Promise<StepRow[]> {
    return tx.$queryRaw<StepRow[]>`
      SELECT p.id, p.lot_id AS "lotId", p.vessel_id AS "vesselId", p.kind, p.step, p.temperature_c::float8 AS "temperatureC",
             p.duration_min::float8 AS "durationMin", p.outcome, p.replaces, q.id AS "replacedBy", p.person_id AS "personId", t.text AS note,
             p.done_at AS "doneAt"
        FROM process_step p
        LEFT JOIN process_step q ON q.producer_id = p.producer_id AND q.replaces = p.id
        LEFT JOIN personal_text t ON t.producer_id = p.producer_id AND t.id = p.text_id
       WHERE p.producer_id = ${producerId}::uuid AND p.lot_id = ${lotId}::uuid
       ORDER BY p.done_at, p.id`;
  }
}
