import { Injectable } from '@nestjs/common';
import { Prisma } from '../../generated/prisma/client.js';
import { groupedNumber } from '../../platform/words.js';
import { BalanceContentsReader } from '../../production/contents/contents.reader.js';
import type { LiquidRow, Watch } from '../../production/contents/contents.mapper.js';
import { stateOf } from '../../production/contents/contents.mapper.js';
import type { PlannedStep } from '../../production/shared/steps/planned-step.dto.js';
import { openSteps, stepWords } from '../../production/shared/steps/steps.rules.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { AttentionItem } from './attention.dto.js';

const HOUR_MS = 3_600_000;

/** A lot whose planned steps are looked at. */
interface StepsOfLot {
  readonly lotId: string;
  readonly lotCode: string;
  readonly premisesId: string;
  readonly plannedSteps: readonly PlannedStep[] | null;
  readonly doneSteps: readonly number[];
  readonly startedAt: Date;
}

/** Finds what wants a person in the vessels: full ones, ferments that stand still, readings and steps that are due. */
@Injectable()
export class CellarAttention {
  constructor(private readonly contents: BalanceContentsReader) {}

  async items(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const rows = await this.contents.liquids(tx, producerId, Prisma.sql`true`);
    const watch = await this.contents.watch(tx, producerId, rows);
    const lots = new Map([...(await this.#uncharged(tx, producerId)), ...rows].map((row) => [row.lotId, row]));
    return [
      ...rows.flatMap((row) => overCapacity(row)),
      ...rows.flatMap((row) => ofFerment(row, watch)),
      ...[...lots.values()].flatMap((lot) => overdueSteps(lot, watch.now)),
    ];
  }

  /** Lots with planned steps into which nothing was charged yet. */
  #uncharged(tx: Tx, producerId: string): Promise<StepsOfLot[]> {
    return tx.$queryRaw<StepsOfLot[]>`
      SELECT l.id AS "lotId", l.code AS "lotCode", l.premises_id AS "premisesId", v.plan -> 'steps' AS "plannedSteps", l.created_at AS "startedAt",
             ARRAY(SELECT p.step FROM process_step p WHERE p.producer_id = l.producer_id AND p.lot_id = l.id AND p.step IS NOT NULL AND p.outcome <> 'withdrawn'
                      AND NOT EXISTS (SELECT FROM process_step q WHERE q.producer_id = p.producer_id AND q.replaces = p.id)) AS "doneSteps"
        FROM lot l JOIN recipe_version v ON v.producer_id = l.producer_id AND v.id = l.recipe_version_id
       WHERE l.producer_id = ${producerId}::uuid AND l.retired_at IS NULL AND jsonb_typeof(v.plan -> 'steps') = 'array'
         AND NOT EXISTS (SELECT FROM composition c WHERE c.producer_id = l.producer_id AND c.lot_id = l.id)`;
  }
}

const litres = (value: number | string): string => `${groupedNumber(Number(Number(value).toFixed(2)))} L`;

function overCapacity({
  vesselId,
  vesselName,
  premisesId,
  capacityL,
  litres: held,
  lotCode,
}: LiquidRow): AttentionItem[] {
  return capacityL === null || Number(held) <= capacityL
    ? []
    : [
        {
          code: 'vessel-over-capacity',
          detail: `${vesselName} can hold ${litres(capacityL)}, and by the books it holds ${litres(held)} of lot ${lotCode}.`,
          settle: 'Gauge the vessel, or put its capacity right.',
          links: [`/v1/vessels/${vesselId}`],
          premisesId,
        },
      ];
}

function ofFerment(row: LiquidRow, watch: Watch): AttentionItem[] {
  const { lotId, lotCode, vesselName, premisesId } = row;
  const state = stateOf(row, watch);
  if (state === 'finished') {
    return [];
  }
  const fermentation = watch.fermentations.get(lotId);
  const at = fermentation?.lastReadAt ?? row.startedAt;
  const about = { at: at.toISOString(), premisesId };
  if (fermentation?.found.stalled !== undefined) {
    const words =
      fermentation.found.stalled === 'not-started'
        ? 'has not begun to ferment'
        : 'stands still above the gravity that its plan expects';
    return [
      {
        code: 'fermentation-stalled',
        detail: `Lot ${lotCode} in ${vesselName} ${words}.`,
        settle: 'Check temperature, yeast and the readings before anything is declared finished.',
        links: [`/v1/lots/${lotId}/fermentation`],
        ...about,
      },
    ];
  }
  if (state === 'terminal') {
    return [
      {
        code: 'terminal-gravity',
        detail: `Lot ${lotCode} in ${vesselName} has reached its terminal gravity.`,
        settle: 'Gauge the vessel, then make the finding of record.',
        links: [`/v1/lots/${lotId}/findings`, `/v1/lots/${lotId}/fermentation`],
        ...about,
      },
    ];
  }
  const dueAt = new Date(at.getTime() + watch.gravityEveryHours * HOUR_MS);
  return dueAt >= watch.now
    ? []
    : [
        {
          code: 'gravity-overdue',
          detail: `Lot ${lotCode} in ${vesselName} ferments, and its last gravity is more than ${watch.gravityEveryHours} hours old.`,
          settle: 'Take a gravity.',
          links: [`/v1/lots/${lotId}/readings`],
          at: dueAt.toISOString(),
          premisesId,
        },
      ];
}

const overdueSteps = (lot: StepsOfLot, now: Date): AttentionItem[] =>
  openSteps(lot.plannedSteps ?? [], lot.doneSteps, lot.startedAt).flatMap(({ number, step, dueAt }) =>
    dueAt === undefined || dueAt >= now
      ? []
      : [
          {
            code: 'step-overdue' as const,
            detail: `Step ${number} of lot ${lot.lotCode} is overdue: ${stepWords(step)}.`,
            settle: 'Enter it as done with its time and person, or as left out.',
            links: [`/v1/lots/${lot.lotId}/steps`],
            at: dueAt.toISOString(),
            premisesId: lot.premisesId,
          },
        ],
  );
