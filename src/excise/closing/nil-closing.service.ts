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
import { openingAfter } from '../reporting/sources/opening.reader.js';
import { reportDocument, reconciliationOfInput } from '../reporting/period/report-document.js';
import type { ReportInput } from '../reporting/sources/report-input.js';
import type { ClosingFacts } from './closing-check.js';
import { ClosingFactsReader } from './closing-facts.reader.js';
import type { Frozen } from './closing-plan.js';
import { freezing, frozenOf, requireEnded, requireSound } from './closing-plan.js';
import type { NilClosings } from './closing.dto.js';

type NilFacts = ClosingFacts & { readonly input?: ReportInput };

/** Closes periods in which nothing was entered, each in its order, in one write. */
@Injectable()
export class NilClosingService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly periods: PeriodReader,
    private readonly facts: ClosingFactsReader,
  ) {}

  close(ctx: RequestContext, lastId: string): Promise<Answer<NilClosings>> {
    return this.database.write(ctx, {
      read: async (tx) => {
        const last = requireStanding((await this.periods.row(tx, ctx.producerId, lastId)) ?? notFound());
        requireEnded(last, this.clock.now());
        const open = await this.periods.openUntil(tx, ctx.producerId, last);
        await this.#requireNil(tx, ctx, open);
        const [first, ...later] = open;
        const facts: NilFacts[] = [await this.facts.of(tx, ctx, first)];
        for (const period of later) {
          facts.push(await this.facts.alone(tx, ctx, period));
        }
        return facts;
      },
      plan: nilPlan,
    });
  }

  /** @throws ProblemException `conflict` naming the first period in which anything was entered */
  async #requireNil(tx: Tx, { producerId }: RequestContext, open: readonly PeriodRow[]): Promise<void> {
    const used = await this.periods.used(tx, producerId, open);
    const first = open.find(({ id }) => used.has(id));
    if (first !== undefined) {
      throw new ProblemException(
        'conflict',
        `The period from ${first.startsOn} to before ${first.endsBefore} has entries. Close it by itself first, then ask again.`,
        { members: { period: first.id, operations: `/v1/operations?periodId=${first.id}` } },
      );
    }
  }
}

/** The period after one that is frozen here opens with what that one closes with. */
function following(facts: NilFacts, before: Frozen, beforeFacts: NilFacts): NilFacts {
  const { input } = facts;
  if (input === undefined) {
    return facts;
  }
  const opening = openingAfter(beforeFacts.report, beforeFacts.period.id, before.hash);
  const opened = { ...input, opening };
  return { ...facts, input: opened, reconciliation: reconciliationOfInput(opened), report: reportDocument(opened) };
}

function nilPlan(read: readonly NilFacts[]): Plan<NilClosings> {
  const frozen: Frozen[] = [];
  let before: { facts: NilFacts; frozen: Frozen } | undefined;
  for (const each of read) {
    const facts: NilFacts = before === undefined ? each : following(each, before.frozen, before.facts);
    requireSound(facts);
    before = { facts, frozen: frozenOf(facts) };
    frozen.push(before.frozen);
  }
  const [{ report }] = read;
  const last = frozen[frozen.length - 1];
  return {
    batch: freezing(frozen),
    head: BigInt(report.trail.sequence),
    answer: new Answer(201, { closings: frozen.map(({ closing }) => closing) }, { location: last.closing.report }),
  };
}
