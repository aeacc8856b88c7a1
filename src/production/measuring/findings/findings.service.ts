import { Injectable } from '@nestjs/common';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { FindingPlanner } from './finding.planner.js';
import type { Finding, NewFinding } from './findings.dto.js';

/** Finds the strength of a composition by one method, and brings the books to it. */
@Injectable()
export class FindingsService {
  constructor(
    private readonly events: EventWriter,
    private readonly findings: FindingPlanner,
  ) {}

  find(ctx: RequestContext, lotId: string, body: NewFinding): Promise<Answer<Finding>> {
    return this.events.write(ctx, body, {
      read: (tx) => this.findings.read(tx, ctx.producerId, lotId, body),
      plan: (read, head) => this.findings.plan(body, read, head),
    });
  }
}
