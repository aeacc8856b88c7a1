import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { booksOf } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { inStock, isInProcess } from '../position/lot-position.js';
import { computeFinding } from './compute-finding.js';
import { alcoholDraft } from '../position/finding-books.js';
import type { Standing } from '../finding-records/finding-kinds.js';
import { findingRow } from '../finding-records/finding.rows.js';
import type { Finding, NewFinding } from './findings.dto.js';
import { toFinding } from './findings.dto.js';
import type { FindingRead } from './finding-inputs.reader.js';
import { FindingInputsReader } from './finding-inputs.reader.js';
import { postChanges, reMeasurement, restate } from '../restatement/restate.js';
import type { RestatementRead } from '../restatement/restatement.reader.js';
import { RestatementReader } from '../restatement/restatement.reader.js';

interface RestatingRead extends FindingRead {
  /** The books down the genealogy of a composition that had a strength of record, or a provisional one until now. */
  readonly restatement: RestatementRead | undefined;
}

/** Finds the strength of a composition by one method, and brings the books to it. */
@Injectable()
export class FindingsService {
  constructor(
    private readonly events: EventWriter,
    private readonly inputs: FindingInputsReader,
    private readonly restatements: RestatementReader,
  ) {}

  find(ctx: RequestContext, lotId: string, body: NewFinding): Promise<Answer<Finding>> {
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewFinding): Promise<RestatingRead> {
    const read = await this.inputs.read(tx, producerId, lotId, body);
    const { composition, ofRecord, provisional } = read.target;
    const restates = (ofRecord ?? provisional) !== undefined && (body.standing ?? 'of-record') === 'of-record';
    return {
      ...read,
      restatement: restates ? await this.restatements.ofComposition(tx, producerId, composition.id) : undefined,
    };
  }

  private plan(body: NewFinding, read: RestatingRead, head: EventHead): Plan<Finding> {
    const { position, target, basis } = read;
    const standing = body.standing ?? 'of-record';
    requireApplicable(body, standing, read);
    const { lot } = position;
    const computed = computeFinding(body, basis);
    const sampledAt = new Date(body.sampledAt ?? (basis.final ?? basis.reading)?.takenAt ?? head.occurredAt);
    const id = uuidv7();
    const restates = standing === 'of-record' ? target.lastOfRecordId : undefined;
    const accounts = inStock(target);
    const { found } = computed;
    const restating =
      read.restatement === undefined
        ? undefined
        : restate({ read: read.restatement, target, found, findingId: id, operationId: head.id });
    const draft = alcoholDraft({
      head: {
        ...head,
        premisesId: target.composition.premisesId,
        lotId: lot.id,
        compositionId: target.composition.id,
        document: {
          finding: id,
          standing,
          restates: restates ?? null,
          method: found.method.id,
          ...(restating === undefined ? {} : { restatement: { ...restating.restatement } }),
        },
      },
      standing,
      target,
      found: computed.found,
      category: lot.category,
    });
    const facts = {
      id,
      lotId: lot.id,
      compositionId: target.composition.id,
      standing,
      restates,
      operationId: draft === undefined ? undefined : head.id,
      sampledAt,
      inputs: computed.inputs,
      warnings: computed.warnings,
    };
    const row = findingRow(facts, computed.found);
    const { strengthPercent: strength } = computed.found;
    return {
      batch: {
        action: 'findings.find',
        ...(draft === undefined ? {} : booksOf(...postChanges(draft, restating?.changes ?? [], reMeasurement))),
        rows: {
          finding: [row, ...(restating?.findings ?? [])],
          findingReading: computed.readings.map(({ readingId, use }) => ({
            findingId: id,
            readingId: readingId,
            use,
          })),
        },
      },
      reads: readsOf(...accounts, ...(restating?.stock ?? [])),
      answer: new Answer(
        201,
        {
          ...toFinding({
            ...facts,
            restates: restates ?? null,
            operationId: facts.operationId ?? null,
            reversed: false,
            methodId: computed.found.method.id,
            methodVersion: computed.found.method.version,
            strengthPercent: strength.value,
            standardUncertainty: strength.standard,
            coverageFactor: strength.coverageFactor,
            expandedUncertainty: strength.expanded,
            degreesOfFreedom: strength.degreesOfFreedom,
            realExtractPlato: computed.found.realExtractPlato ?? null,
            budget: strength.budget,
            readings: computed.readings,
          }),
          ...(restating === undefined ? {} : { restatement: restating.restatement }),
        },
        { location: `/v1/findings/${id}` },
      ),
    };
  }
}

/** Original gravity tells nothing of a liquid that was diluted, blended or made from spirit; sugar added while it fermented weighs in. */
function requireApplicable(body: NewFinding, standing: Standing, read: FindingRead): void {
  const { target, originalGravityApplies, basis } = read;
  const byGravity = body.method === 'mass-balance' || body.method === 'gravity-drop-table';
  if (body.method === 'gravity-drop-table' && originalGravityApplies && (basis.additions ?? []).length > 0) {
    throw new ProblemException(
      'method-not-applicable',
      'Sugar was added: the drop of the readings is not that of one wort.',
      {
        errors: [{ pointer: '/method', rule: 'sugar-added', detail: 'Use mass-balance, a density or a certificate.' }],
      },
    );
  }
  if (byGravity && !originalGravityApplies) {
    throw new ProblemException(
      'method-not-applicable',
      'The original gravity no longer applies: this composition was diluted, blended or made from spirit.',
      {
        errors: [
          {
            pointer: '/method',
            rule: 'method-not-applicable',
            detail: 'Use a density, an alcoholometer or a certificate.',
          },
        ],
      },
    );
  }
  if (standing === 'provisional' && !isInProcess(target)) {
    throw new ProblemException('conflict', 'The composition is finished: it has a finding of record already.', {
      errors: [{ pointer: '/standing', rule: 'finished', detail: 'Use supporting, or of-record to restate it.' }],
      members: { finding: target.ofRecord?.id },
    });
  }
}
