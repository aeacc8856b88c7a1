import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import { booksOf } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { inStock } from '../position/lot-position.js';
import { computeFinding } from './compute-finding.js';
import { alcoholDraft } from '../position/finding-books.js';
import type { Standing } from '../finding-records/finding-kinds.js';
import { findingRow } from '../finding-records/finding.rows.js';
import type { PackagedLotRow } from '../packed/packaged-lot.reader.js';
import { PackagedLotReader } from '../packed/packaged-lot.reader.js';
import { affectedLabels } from './affected-labels.js';
import type { AffectedLabel, Finding, NewFinding } from './findings.dto.js';
import { fermentingReason, findingFlags, standingOf } from './finding-doubts.js';
import { newFinding, requireApplicable } from './findings.rules.js';
import type { EnteredReading, FindingRead } from './finding-inputs.reader.js';
import { FindingInputsReader } from './finding-inputs.reader.js';
import type { Restating } from '../restatement/restate.js';
import { postChanges, reMeasurement, restate } from '../restatement/restate.js';
import type { RestatementRead } from '../restatement/restatement.reader.js';
import { RestatementReader } from '../restatement/restatement.reader.js';

export interface RestatingRead extends FindingRead {
  /** The books down the genealogy of a composition that had a strength of record, or a provisional one until now. */
  readonly restatement: RestatementRead | undefined;
  /** Goods that were filled from the liquid, gone ones too. */
  readonly packagedLots: readonly PackagedLotRow[];
}

/** Plans a finding and what it does to the books: for a finding that is asked for, and for one that rests on a corrected reading. */
@Injectable()
export class FindingPlanner {
  constructor(
    private readonly inputs: FindingInputsReader,
    private readonly restatements: RestatementReader,
    private readonly packagedLots: PackagedLotReader,
  ) {}

  async read(
    tx: Tx,
    producerId: string,
    lotId: string,
    body: NewFinding,
    entered?: EnteredReading,
  ): Promise<RestatingRead> {
    const read = await this.inputs.read(tx, producerId, lotId, body, entered);
    const { composition, ofRecord, provisional } = read.target;
    const standing = standingOf(body, fermentingReason(body, read));
    const restates = (ofRecord ?? provisional) !== undefined && standing === 'of-record';
    const restatement = restates ? await this.restatements.ofComposition(tx, producerId, composition.id) : undefined;
    const goods = [...(restatement?.genealogy.places.values() ?? [])].flatMap(({ key }) => key.packagedLotId ?? []);
    return {
      ...read,
      restatement,
      packagedLots: await this.packagedLots.ofIds(tx, producerId, [...new Set(goods)]),
    };
  }

  plan(body: NewFinding, read: RestatingRead, head: EventHead): Plan<Finding> {
    const { position, target, basis } = read;
    const fermenting = fermentingReason(body, read);
    const standing = standingOf(body, fermenting);
    requireApplicable(body, standing, read);
    const { lot } = position;
    const computed = computeFinding(body, basis);
    const flags = findingFlags(body, read, { standing, fermenting });
    const id = uuidv7();
    const restates = standing === 'of-record' ? target.lastOfRecordId : undefined;
    const { found } = computed;
    const restating = restatingOf(read, found, { findingId: id, operationId: head.id });
    const draft = draftOf(read, found, { head, standing, restating, findingId: id, restates });
    const facts = {
      id,
      lotId: lot.id,
      compositionId: target.composition.id,
      standing,
      restates,
      operationId: draft === undefined ? undefined : head.id,
      sampledAt: sampledAtOf(body, read, head),
      inputs: computed.inputs,
      warnings: [...computed.warnings, ...(fermenting === undefined || standing === 'supporting' ? [] : [fermenting])],
    };
    const row = findingRow(facts, found);
    const answer = {
      ...newFinding(facts, computed),
      ...(restating === undefined ? {} : { restatement: restating.restatement }),
      ...(flags.length === 0 ? {} : { flags }),
      ...labelsOf(read, row, restating?.findings ?? []),
    };
    return {
      batch: {
        action: 'findings.find',
        ...(draft === undefined ? {} : booksOf(...postChanges(draft, restating?.changes ?? [], reMeasurement))),
        rows: {
          finding: [row, ...(restating?.findings ?? [])],
          findingReading: computed.readings.map(({ readingId, use }) => ({ findingId: id, readingId, use })),
        },
      },
      reads: readsOf(...inStock(target)),
      ...(read.restatement === undefined ? {} : { head: read.restatement.head }),
      answer: new Answer(201, answer, { location: `/v1/findings/${id}` }),
    };
  }
}

/** Labels that no longer hold by the findings about to be written. */
function labelsOf(
  { packagedLots, restatement, settings }: RestatingRead,
  found: RowOf<'finding'>,
  derived: readonly RowOf<'finding'>[],
): { readonly labels?: AffectedLabel[] } {
  const labels =
    restatement === undefined
      ? []
      : affectedLabels({ packagedLots, findings: [found, ...derived], stock: restatement.stock.values(), settings });
  return labels.length === 0 ? {} : { labels };
}

const sampledAtOf = (body: NewFinding, { basis }: FindingRead, head: EventHead): Date =>
  new Date(body.sampledAt ?? (basis.final ?? basis.reading)?.takenAt ?? head.occurredAt);

const restatingOf = (
  { restatement, target }: RestatingRead,
  found: StrengthFinding,
  ids: { readonly findingId: string; readonly operationId: string },
): Restating | undefined =>
  restatement === undefined ? undefined : restate({ read: restatement, target, found, ...ids });

/** The operation that brings the composition's stock to the strength found; its document names the finding. */
function draftOf(
  { position, target }: RestatingRead,
  found: StrengthFinding,
  facts: {
    readonly head: EventHead;
    readonly standing: Standing;
    readonly restating: Restating | undefined;
    readonly findingId: string;
    readonly restates: string | undefined;
  },
): OperationDraft | undefined {
  const { head, standing, restating, findingId, restates } = facts;
  return alcoholDraft({
    head: {
      ...head,
      premisesId: target.composition.premisesId,
      lotId: position.lot.id,
      compositionId: target.composition.id,
      document: {
        finding: findingId,
        standing,
        restates: restates ?? null,
        method: found.method.id,
        ...(restating === undefined ? {} : { restatement: { ...restating.restatement } }),
      },
    },
    standing,
    target,
    found,
    category: position.lot.category,
  });
}
