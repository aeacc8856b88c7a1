import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import type { EventHead } from '../../../ledger/books/event.js';
import { eventOf } from '../../../ledger/books/event.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import type { ReadingToStrike } from '../readings/strikes.service.js';
import { StrikesService, strikePlan } from '../readings/strikes.service.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import type { RestatingRead } from './finding-effects.js';
import { FindingPlanner } from './finding.planner.js';
import type { Finding, NewFinding } from './findings.dto.js';
import type { NewReadingCorrection, ReadingCorrectionResult } from './reading-correction.dto.js';
import { foundAgain, RestingFindings } from './resting-findings.reader.js';

interface ToFind {
  readonly body: NewFinding;
  readonly read: RestatingRead;
}

interface CorrectionRead {
  readonly strike: ReadingToStrike & Required<Pick<ReadingToStrike, 'draft'>>;
  readonly again: readonly ToFind[];
}

/** Corrects a reading in one write: strikes it, enters it again, and finds again what rested on it. */
@Injectable()
export class ReadingCorrectionsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly strikes: StrikesService,
    private readonly resting: RestingFindings,
    private readonly findings: FindingPlanner,
  ) {}

  async correct(ctx: RequestContext, id: string, body: NewReadingCorrection): Promise<Answer<ReadingCorrectionResult>> {
    const takenAt = this.strikes.checked(body.replacement);
    const read = (tx: Tx): Promise<CorrectionRead> => this.read(tx, ctx, id, body, takenAt);
    if (body.dryRun === true) {
      const { answer } = this.plan(body, await this.database.read(ctx, read));
      return new Answer(200, answer.body);
    }
    return this.database.write(ctx, { read, plan: (facts) => this.plan(body, facts) });
  }

  private async read(
    tx: Tx,
    ctx: RequestContext,
    id: string,
    body: NewReadingCorrection,
    takenAt: Date | undefined,
  ): Promise<CorrectionRead> {
    const { producerId } = ctx;
    await requirePerson(tx, producerId, body.personId, '/personId');
    const { reading, draft } = await this.strikes.look(tx, ctx, id, body, takenAt);
    if (draft === undefined) {
      throw new Error('A correction always has a replacement.');
    }
    const resting = await this.resting.on(tx, producerId, id);
    if (resting.length > 0 && (draft.read.lotId !== reading.lotId || draft.read.kind !== reading.kind)) {
      throw otherReading(resting[0].id);
    }
    requireNotJoined(resting);
    const again: ToFind[] = [];
    for (const finding of resting) {
      const asked = foundAgain(finding, { from: id, to: draft.read.id });
      const entered = { reading: draft.basis, replaces: id };
      again.push({ body: asked, read: await this.findings.read(tx, producerId, finding.lotId, asked, entered) });
    }
    return { strike: { reading, draft }, again };
  }

  private plan(body: NewReadingCorrection, { strike, again }: CorrectionRead): Plan<ReadingCorrectionResult> {
    const { head } = eventOf({ personId: body.personId }, this.clock.now());
    const struck = strikePlan(strike, body);
    const plans = again.map((each) => this.findings.plan(each.body, each.read, headOf(head)));
    requireApart(plans);
    const { replacement } = struck.answer.body;
    if (replacement === undefined) {
      throw new Error('A correction always has a replacement.');
    }
    const heads = plans.flatMap((plan) => (plan.head === undefined ? [] : [plan.head]));
    const tables = plans.map(({ batch: { rows } }) => rows ?? {});
    return {
      batch: {
        ...struck.batch,
        action: 'readings.correct',
        accounts: plans.flatMap(({ batch }) => batch.accounts ?? []),
        operations: plans.flatMap(({ batch }) => batch.operations ?? []),
        rows: {
          ...struck.batch.rows,
          finding: tables.flatMap(({ finding }) => finding ?? []),
          findingReading: tables.flatMap(({ findingReading }) => findingReading ?? []),
        },
      },
      reads: plans.flatMap(({ reads }) => reads ?? []),
      ...(heads.length === 0 ? {} : { head: heads[0] }),
      answer: new Answer(201, {
        dryRun: body.dryRun === true,
        reading: struck.answer.body.reading,
        replacement,
        findings: plans.map(({ answer }) => answer.body),
      }),
    };
  }
}

const otherReading = (finding: string): ProblemException => {
  const detail =
    'A finding uses this reading, so that the right one has to be of the same lot and kind. Enter that reading, make a new finding with it, and strike this one then.';
  return new ProblemException('reading-in-use', detail, {
    errors: [{ pointer: '/replacement', rule: 'other-reading', detail }],
    members: { finding },
  });
};

/** Refuses where a joined finding rests on the reading: its members have to be found again before they are joined. */
function requireNotJoined(resting: readonly FindingRow[]): void {
  const joined = resting.find(({ methodId }) => methodId === 'joined');
  if (joined === undefined) return;
  const detail =
    'A joined finding rests on this reading. Enter the right reading as a new one, find with it, join again, and strike this one then.';
  throw new ProblemException('conflict', detail, {
    errors: [{ pointer: '', rule: 'joined-since', detail }],
    members: { finding: joined.id },
  });
}

/** Each finding is an operation of its own. */
const headOf = (head: EventHead): EventHead => ({ ...head, id: uuidv7() });

/** Refuses where two findings would restate the same mixture: each would start from the same old strength. */
function requireApart(plans: readonly Plan<Finding>[]): void {
  const restated = plans.flatMap(({ answer }) => answer.body.restatement?.findings ?? []);
  const ids = restated.map(({ compositionId }) => compositionId);
  if (new Set(ids).size < ids.length) {
    const detail =
      'Two findings rest on this reading, and their liquids were mixed since. Enter the right reading as a new one, and find each again.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer: '', rule: 'mixed-since', detail }] });
  }
}
