import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import { canonicalJson } from '../../platform/canonical-json.js';
import { Clock } from '../../platform/clock.js';
import type { ProblemCode } from '../../platform/problems/problem-codes.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Plan } from '../../tenancy/door/batch.js';
import { Answer } from '../../tenancy/door/batch.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import type { Tx } from '../../tenancy/door/door.js';
import { Door } from '../../tenancy/door/door.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { TrailReader } from '../../tenancy/trail/trail.reader.js';
import { reportDocument, roadsOfInput } from '../report/report-document.js';
import { sha256 } from '../report/report-face.js';
import { ReportReader } from '../report/report.reader.js';
import type { ClosingCode, ClosingFacts } from './closing-check.js';
import { closingFindings } from './closing-check.js';
import type { Closing, ClosingCheck } from './closing.dto.js';

/** What each blocking finding is answered with. */
const PROBLEM_OF: Partial<Record<ClosingCode, ProblemCode>> = {
  'closed-already': 'period-closed',
  'not-ended': 'period-not-ended',
  'earlier-period-open': 'conflict',
  'unexplained-difference': 'conflict',
  'trail-fault': 'trail-broken',
  'roads-do-not-meet': 'books-do-not-balance',
  'category-does-not-meet': 'books-do-not-balance',
  'stage-does-not-meet': 'books-do-not-balance',
  'tie-does-not-meet': 'books-do-not-balance',
};
const MOST_NAMED = 10;

/** Closes a period for good: checks, then freezes the report with the head of the trail. */
@Injectable()
export class ClosingService {
  constructor(
    private readonly door: Door,
    private readonly clock: Clock,
    private readonly periods: PeriodReader,
    private readonly reports: ReportReader,
    private readonly trail: TrailReader,
    private readonly settings: SettingsReader,
  ) {}

  async check(ctx: RequestContext, periodId: string): Promise<ClosingCheck> {
    const facts = await this.door.read(ctx, async (tx) => this.#facts(tx, ctx, await this.#period(tx, ctx, periodId)));
    const findings = closingFindings(facts);
    return { periodId, ready: !findings.some(({ blocks }) => blocks), roads: facts.report.roads, findings };
  }

  close(ctx: RequestContext, periodId: string): Promise<Answer<Closing>> {
    return this.door.write(ctx, {
      read: async (tx) => {
        const period = await this.#period(tx, ctx, periodId);
        this.#requireTurn(period, await this.#openBefore(tx, ctx, period));
        return this.#facts(tx, ctx, period);
      },
      plan: (facts) => closingPlan(facts),
    });
  }

  async #period(tx: Tx, ctx: RequestContext, id: string): Promise<PeriodRow> {
    return (await this.periods.row(tx, ctx.producerId, id)) ?? notFound();
  }

  async #openBefore(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<PeriodRow | undefined> {
    const before = await this.periods.before(tx, ctx.producerId, period);
    return before?.reportId === null ? before : undefined;
  }

  /** What needs no look at the books is refused before they are read. */
  #requireTurn(period: PeriodRow, openBefore: PeriodRow | undefined): void {
    const now = this.clock.now();
    if (period.reportId !== null) {
      throw new ProblemException('period-closed', 'The period is closed.', {
        members: { period: period.id, reportHash: period.reportHash },
      });
    }
    if (now < period.endsAt) {
      throw new ProblemException('period-not-ended', `The period ends at ${period.endsAt.toISOString()}.`, {
        members: { endsAt: period.endsAt.toISOString(), now: now.toISOString() },
      });
    }
    if (openBefore !== undefined) {
      throw new ProblemException('conflict', `The period from ${openBefore.startsOn} has to be closed first.`, {
        members: { period: openBefore.id },
      });
    }
  }

  async #facts(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<ClosingFacts> {
    const input = await this.reports.input(tx, ctx, period, 'closed');
    const before = await this.periods.before(tx, ctx.producerId, period);
    const from = (before?.reportHeadSequence ?? 0n) + 1n;
    return {
      now: this.clock.now(),
      period,
      openBefore: before?.reportId === null ? before : undefined,
      faults: await this.trail.faults(tx, ctx.producerId, from),
      roads: roadsOfInput(input),
      report: reportDocument(input),
      allowsUnexplained: (await this.settings.of(tx, ctx.producerId)).allowUnexplainedDifferences !== false,
    };
  }
}

/** @throws ProblemException for the first finding that blocks, with those of its kind */
function requireSound(facts: ClosingFacts): void {
  const blocking = closingFindings(facts).filter(({ blocks }) => blocks);
  const first = blocking.at(0);
  if (first === undefined) {
    return;
  }
  const alike = blocking.filter(({ code }) => code === first.code).slice(0, MOST_NAMED);
  throw new ProblemException(PROBLEM_OF[first.code] ?? 'conflict', first.detail, {
    members: {
      findings: alike.map(({ code, detail }) => ({ code, detail })),
      faults: facts.faults.slice(0, MOST_NAMED).map(({ entry, place, problem }) => ({ entry, place, problem })),
    },
  });
}

function closingPlan(facts: ClosingFacts): Plan<Closing> {
  requireSound(facts);
  const { period, report } = facts;
  const bytes = canonicalJson(report);
  const hash = sha256(bytes).toString('hex');
  const id = uuidv7();
  const { trail, closing, roads } = report;
  return {
    batch: {
      action: 'periods.close',
      rows: {
        report: [
          {
            id,
            period_id: period.id,
            hash: `\\x${hash}`,
            head_sequence: trail.sequence,
            head_hash: `\\x${trail.hash}`,
          },
        ],
      },
      reportBytes: { [id]: bytes },
    },
    head: BigInt(trail.sequence),
    answer: new Answer(
      201,
      {
        periodId: period.id,
        reportId: id,
        reportHash: hash,
        head: { sequence: trail.sequence, hash: trail.hash },
        closing,
        roads,
        report: `/v1/periods/${period.id}/report`,
      },
      { location: `/v1/periods/${period.id}/report` },
    ),
  };
}
