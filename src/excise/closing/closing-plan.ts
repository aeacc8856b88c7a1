import { uuidv7 } from 'uuidv7';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { canonicalJson } from '../../platform/canonical-json.js';
import type { ProblemCode } from '../../platform/problems/problem-codes.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Batch, RowOf } from '../../tenancy/producer-database/batch.js';
import { sha256 } from '../reporting/render/report-format.js';
import type { ClosingCode, ClosingFacts } from './closing-check.js';
import { closingFindings } from './closing-check.js';
import type { Closing } from './closing.dto.js';

/** Problem code of each blocking finding. */
const PROBLEM_OF: Partial<Record<ClosingCode, ProblemCode>> = {
  'already-closed': 'period-closed',
  'not-ended': 'period-not-ended',
  'earlier-period-open': 'conflict',
  'unexplained-difference': 'conflict',
  'trail-fault': 'trail-broken',
  'reconciliation-does-not-balance': 'books-do-not-balance',
  'category-does-not-balance': 'books-do-not-balance',
  'stage-does-not-balance': 'books-do-not-balance',
  'tie-does-not-balance': 'books-do-not-balance',
};
const MAX_NAMED = 10;

/** @throws ProblemException `period-closed`, `period-not-ended`: what needs no look at the books */
export function requireEnded(period: PeriodRow, now: Date): void {
  if (period.reportId !== null) {
    throw new ProblemException('period-closed', 'The period is closed already.', {
      members: { period: period.id, reportHash: period.reportHash },
    });
  }
  if (now < period.endsAt) {
    throw new ProblemException(
      'period-not-ended',
      `The period ends at ${period.endsAt.toISOString()}. Close it after that.`,
      {
        members: { endsAt: period.endsAt.toISOString(), now: now.toISOString() },
      },
    );
  }
}

/** @throws ProblemException for the first finding that blocks, with those of its kind */
export function requireSound(facts: ClosingFacts): void {
  const blocking = closingFindings(facts).filter(({ blocks }) => blocks);
  const first = blocking.at(0);
  if (first === undefined) {
    return;
  }
  const alike = blocking.filter(({ code }) => code === first.code).slice(0, MAX_NAMED);
  throw new ProblemException(PROBLEM_OF[first.code] ?? 'conflict', first.detail, {
    members: {
      findings: alike.map(({ code, detail }) => ({ code, detail })),
      faults: facts.faults.slice(0, MAX_NAMED).map(({ entry, place, problem }) => ({ entry, place, problem })),
    },
  });
}

/** A report that is frozen: its row, its bytes and what is answered. */
export interface Frozen {
  readonly id: string;
  readonly hash: string;
  readonly bytes: string;
  readonly row: RowOf<'report'>;
  readonly closing: Closing;
}

export function frozenOf({ period, report }: ClosingFacts): Frozen {
  const bytes = canonicalJson(report);
  const hash = sha256(bytes).toString('hex');
  const id = uuidv7();
  const { trail, closing, reconciliation } = report;
  return {
    id,
    hash,
    bytes,
    row: {
      id,
      periodId: period.id,
      hash: `\\x${hash}`,
      headSequence: trail.sequence,
      headHash: `\\x${trail.hash}`,
    },
    closing: {
      periodId: period.id,
      reportId: id,
      reportHash: hash,
      head: { sequence: trail.sequence, hash: trail.hash },
      closing,
      reconciliation,
      report: `/v1/periods/${period.id}/report`,
    },
  };
}

export const freezing = (frozen: readonly Frozen[]): Batch => ({
  action: 'periods.close',
  rows: { report: frozen.map(({ row }) => row) },
  reportBytes: Object.fromEntries(frozen.map(({ id, bytes }) => [id, bytes])),
});
