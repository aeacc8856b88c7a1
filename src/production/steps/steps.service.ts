import { Injectable } from '@nestjs/common';
import { eventOf } from '../../ledger/books/event.js';
import { headSequence } from '../../ledger/books/head.js';
import { canonicalText, decimalOf } from '../../metrology/decimals.js';
import { toBase } from '../../metrology/units.js';
import { Clock } from '../../platform/clock.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { requirePerson } from '../../tenancy/people/person.reader.js';
import type { Plan } from '../../tenancy/producer-database/batch.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { malformed, missingReference, referenced } from '../shared/references.js';
import type { StepKind } from '../shared/steps/planned-step.dto.js';
import { standing, toLotSteps, toProcessStep } from './step.mapper.js';
import type { StepPlan, StepRow } from './step.reader.js';
import { StepReader } from './step.reader.js';
import type { LotSteps, NewStep, ProcessStep } from './steps.dto.js';

interface StepRead {
  readonly plan: StepPlan;
  readonly entered: readonly StepRow[];
  readonly head: bigint;
}

const places = (value: number, count: number): number => Number(value.toFixed(count));

/** Enters the steps of the process that were done with a lot, beside those that the recipe plans. */
@Injectable()
export class StepsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly steps: StepReader,
  ) {}

  of(ctx: RequestContext, lotId: string): Promise<LotSteps> {
    return this.database.read(ctx, async (tx) => {
      const { plan, entered } = await this.#read(tx, ctx, lotId);
      return toLotSteps(plan, entered, this.clock.now());
    });
  }

  /** @throws ProblemException `validation-failed`, `not-found`, `conflict` for a step that is settled, `time-ahead` */
  enter(ctx: RequestContext, lotId: string, body: NewStep): Promise<Answer<ProcessStep>> {
    return this.database.write(ctx, {
      read: async (tx) => {
        await requirePerson(tx, ctx.producerId, body.personId, '/personId');
        if (body.vesselId !== undefined) {
          await referenced(tx, ctx.producerId, 'vessel', body.vesselId, '/vesselId');
        }
        return this.#read(tx, ctx, lotId);
      },
      plan: (read) => this.#plan(lotId, body, read),
    });
  }

  async #read(tx: Tx, { producerId }: RequestContext, lotId: string): Promise<StepRead> {
    const plan = (await this.steps.planOf(tx, producerId, lotId)) ?? notFound();
    return {
      plan,
      entered: await this.steps.ofLot(tx, producerId, lotId),
      head: await headSequence(tx, producerId),
    };
  }

  #plan(lotId: string, body: NewStep, { plan, entered, head: trail }: StepRead): Plan<ProcessStep> {
    const replaced = replacedBy(body, entered);
    const kind = kindOf(body, plan, replaced);
    const number = body.number ?? (body.outcome === 'withdrawn' ? (replaced?.step ?? undefined) : undefined);
    requireOpen(number, entered, body.replaces);
    const { head, personalText } = eventOf(body, this.clock.now());
    const { temperature, duration } = body;
    const row = {
      id: head.id,
      lotId,
      vesselId: body.vesselId ?? null,
      kind,
      step: number ?? null,
      temperatureC: temperature === undefined ? null : places(toBase('temperature', temperature), 4),
      durationMin: duration === undefined ? null : places(toBase('time', duration), 3),
      outcome: body.outcome ?? 'done',
      replaces: body.replaces ?? null,
      personId: body.personId ?? null,
      doneAt: head.occurredAt,
    };
    const decimal = (value: number | null): string | null => (value === null ? null : canonicalText(decimalOf(value)));
    return {
      batch: {
        action: 'steps.enter',
        rows: {
          processStep: [
            {
              ...row,
              temperatureC: decimal(row.temperatureC),
              durationMin: decimal(row.durationMin),
              textId: head.noteTextId ?? null,
              doneAt: head.occurredAt.toISOString(),
            },
          ],
        },
        personalText,
      },
      head: trail,
      answer: new Answer(201, toProcessStep({ ...row, note: body.note ?? null }, plan.planned)),
    };
  }
}

/** The entry that is replaced. @throws ProblemException `not-found`, `conflict` where another took its place already */
function replacedBy({ replaces, outcome }: NewStep, entered: readonly StepRow[]): StepRow | undefined {
  if (replaces === undefined) {
    if (outcome === 'withdrawn') {
      const detail = 'Give in `replaces` the entry that is taken back.';
      throw malformed({ pointer: '/replaces', rule: 'required', detail });
    }
    return undefined;
  }
  const found = entered.find(({ id }) => id === replaces);
  if (found === undefined) {
    throw missingReference('/replaces');
  }
  if (found.replacedBy !== null || found.outcome === 'withdrawn') {
    const detail = 'Another entry took its place already. Replace that one.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer: '/replaces', rule: 'replaced', detail }] });
  }
  return found;
}

/** The kind of the step. @throws ProblemException `validation-failed`, `not-found` for a number that the plan has not */
function kindOf({ number, kind, outcome }: NewStep, { planned }: StepPlan, replaced: StepRow | undefined): StepKind {
  if (number !== undefined) {
    const step = planned.at(number - 1);
    if (step === undefined) {
      const detail =
        planned.length === 0
          ? 'The lot has no planned steps. Leave `number` out and give the `kind`.'
          : `The plan has ${planned.length} steps. Give the number of one of them, or leave it out and give the \`kind\`.`;
      throw new ProblemException('not-found', detail, { errors: [{ pointer: '/number', rule: 'not-found', detail }] });
    }
    if (kind !== undefined && kind !== step.kind) {
      const detail = `Step ${number} of the plan is of the kind ${step.kind}. Leave \`kind\` out, or \`number\`.`;
      throw malformed({ pointer: '/kind', rule: 'contradictory', detail });
    }
    return step.kind;
  }
  const given = kind ?? (outcome === 'withdrawn' ? (replaced?.kind as StepKind | undefined) : undefined);
  if (given === undefined) {
    const detail = 'Give the `number` of the planned step, or the `kind` of one that was not planned.';
    throw malformed({ pointer: '/kind', rule: 'required', detail });
  }
  return given;
}

/** @throws ProblemException `conflict` for a planned step that is settled by another entry than the one replaced */
function requireOpen(number: number | undefined, entered: readonly StepRow[], replaces: string | undefined): void {
  const settled = standing(entered).find(({ step, id }) => step !== null && step === number && id !== replaces);
  if (settled !== undefined) {
    const detail = `Step ${settled.step} is entered already. To put that entry right, name it in \`replaces\`.`;
    throw new ProblemException('conflict', detail, {
      errors: [{ pointer: '/number', rule: 'entered', detail, step: settled.id }],
    });
  }
}
