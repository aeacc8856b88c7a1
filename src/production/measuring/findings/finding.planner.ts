import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { booksOf } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { inStock } from '../position/lot-position.js';
import { CertifiedBalances } from './certified-balances.reader.js';
import { computeFinding } from './compute-finding.js';
import { findingRow } from '../finding-records/finding.rows.js';
import { PackagedLotReader } from '../packed/packaged-lot.reader.js';
import { affectedLabels } from './affected-labels.js';
import { requireAgreement } from './joined-finding.js';
import type { AffectedLabel } from './finding-remarks.dto.js';
import type { Finding, NewFinding } from './findings.dto.js';
import { fermentingReason, findingFlags, standingOf } from './finding-doubts.js';
import { newFinding, requireApplicable } from './findings.rules.js';
import type { EnteredReading, FindingRead } from './finding-inputs.reader.js';
import { FindingInputsReader } from './finding-inputs.reader.js';
import type { RestatingRead } from './finding-effects.js';
import { findingEffects } from './finding-effects.js';
import { SuccessorReader } from './successor.reader.js';
import { RestatementReader } from '../restatement/restatement.reader.js';

/** Plans a finding and what it does to the books: for a finding that is asked for, and for one that rests on a corrected reading. */
@Injectable()
export class FindingPlanner {
  constructor(
    private readonly inputs: FindingInputsReader,
    private readonly restatements: RestatementReader,
    private readonly packagedLots: PackagedLotReader,
    private readonly successors: SuccessorReader,
    private readonly certified: CertifiedBalances,
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
    const isEarlier = inStock(read.target).length === 0 && ofRecord === undefined && standing !== 'supporting';
    const restates = (ofRecord ?? provisional) !== undefined && standing === 'of-record';
    const restatement =
      restates && !isEarlier ? await this.restatements.ofComposition(tx, producerId, composition.id) : undefined;
    const goods = [...(restatement?.genealogy.places.values() ?? [])].flatMap(({ key }) => key.packagedLotId ?? []);
    const certified =
      body.method === 'mass-balance' ? await this.certified.of(tx, producerId, composition.id) : undefined;
    return {
      ...read,
      basis: { ...read.basis, certified },
      restatement,
      successors: isEarlier ? await this.successors.of(tx, producerId, read.target) : undefined,
      packagedLots: await this.packagedLots.ofIds(tx, producerId, [...new Set(goods)]),
    };
  }

  plan(body: NewFinding, read: RestatingRead, head: EventHead): Plan<Finding> {
    const { position, target, basis } = read;
    const fermenting = fermentingReason(body, read);
    const standing = standingOf(body, fermenting);
    requireApplicable(body, standing, read);
    const { lot } = position;
    const flags = findingFlags(body, read, { standing, fermenting });
    const id = uuidv7();
    const computed = computeFinding(body, basis, id);
    requireAgreement(computed, standing);
    const restates = standing === 'of-record' ? target.lastOfRecordId : undefined;
    const { found } = computed;
    const sampledAt = sampledAtOf(body, read, head);
    const effects = findingEffects(read, found, { head, standing, findingId: id, restates, sampledAt });
    const facts = {
      id,
      lotId: lot.id,
      compositionId: target.composition.id,
      standing,
      restates,
      operationId: effects.drafts.length === 0 ? undefined : head.id,
      sampledAt,
      inputs: computed.inputs,
      warnings: [...computed.warnings, ...(fermenting === undefined || standing === 'supporting' ? [] : [fermenting])],
    };
    const row = findingRow(facts, found);
    const answer = {
      ...newFinding(facts, computed),
      ...(effects.restatement === undefined ? {} : { restatement: effects.restatement }),
      ...(flags.length === 0 ? {} : { flags }),
      ...labelsOf(read, row, effects.findings),
    };
    return {
      batch: {
        action: 'findings.find',
        ...(effects.drafts.length === 0 ? {} : booksOf(...effects.drafts)),
        rows: {
          finding: [row, ...effects.findings],
          findingReading: computed.readings.map(({ readingId, use }) => ({ findingId: id, readingId, use })),
        },
      },
      reads: readsOf(...effects.accounts),
      ...(effects.trailHead === undefined ? {} : { head: effects.trailHead }),
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
  new Date(
    body.sampledAt ??
      (body.method === 'certificate' ? undefined : (basis.final ?? basis.reading))?.takenAt ??
      basis.findings?.at(-1)?.sampledAt ??
      head.occurredAt,
  );
