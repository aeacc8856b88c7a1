import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader, requireStanding } from '../../ledger/periods/period.reader.js';
import { Clock } from '../../platform/clock.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Plan } from '../../tenancy/producer-database/batch.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import type { ClosingFacts } from './closing-check.js';
import { closingFindings } from './closing-check.js';
import { ClosingFactsReader } from './closing-facts.reader.js';
import { freezing, frozenOf, requireEnded, requireSound } from './closing-plan.js';
import type { Closing, ClosingCheck } from './closing.dto.js';

/** Closes a period for good: checks, then freezes the report with the head of the trail. */
@Injectable()
export class ClosingService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly periods: PeriodReader,
    private readonly facts: ClosingFactsReader,
  ) {}

  async check(ctx: RequestContext, periodId: string): Promise<ClosingCheck> {
    const facts = await this.database.read(ctx, async (tx) =>
      this.facts.of(tx, ctx, await this.#period(tx, ctx, periodId)),
    );
    const findings = closingFindings(facts);
    return {
      periodId,
      ready: !findings.some(({ blocks }) => blocks),
      reconciliation: facts.report.reconciliation,
      findings,
    };
  }

  close(ctx: RequestContext, periodId: string): Promise<Answer<Closing>> {
    return this.database.write(ctx, {
      read: async (tx) => {
        const period = await this.#period(tx, ctx, periodId);
        requireEnded(period, this.clock.now());
        await this.#requireTurn(tx, ctx, period);
        return this.facts.of(tx, ctx, period);
      },
      plan: (facts) => closingPlan(facts),
    });
  }

  async #period(tx: Tx, ctx: RequestContext, id: string): Promise<PeriodRow> {
    return requireStanding((await this.periods.row(tx, ctx.producerId, id)) ?? notFound());
  }

  async #requireTurn(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<void> {
    const before = await this.periods.before(tx, ctx.producerId, period);
    if (before?.reportId === null) {
      throw new ProblemException(
        'conflict',
        `The period from ${before.startsOn} is still open. Close that one first.`,
        {
          members: { period: before.id },
        },
      );
    }
  }
}

function closingPlan(facts: ClosingFacts): Plan<Closing> {
  requireSound(facts);
  const frozen = frozenOf(facts);
  return {
    batch: freezing([frozen]),
    head: BigInt(facts.report.trail.sequence),
    answer: new Answer(201, frozen.closing, { location: frozen.closing.report }),
  };
}
