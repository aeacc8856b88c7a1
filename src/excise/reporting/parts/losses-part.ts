import type { FlowLine } from '../../../ledger/figures/flow.reader.js';
import { figureOf, toFigures } from '../../../ledger/figures/figure.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { localDay } from '../../../production/shared/local-day.js';
import { oneOperation } from './links.js';
import { judgementOf } from '../../movements/judgement.js';
import { isLossLine } from '../documents/loss-lines.js';
import type { ListedEntry } from '../documents/report.dto.js';
import type { ReportInput } from '../sources/report-input.js';

const entryOf = (row: FlowLine, timeZone: string): ListedEntry => ({
  line: row.kind,
  operationId: row.operationId,
  operationKind: row.operationKind,
  occurredAt: row.occurredAt.toISOString(),
  day: localDay(row.occurredAt, timeZone),
  category: row.category,
  ...given({
    reasonCode: row.reasonCode,
    lotId: row.lotId,
    packagedLotId: row.packagedLotId,
    reverses: row.reverses,
    corrects: row.corrects,
    earlierPeriodId: row.earlierPeriodId,
  }),
  ...toFigures(figureOf(row)),
  operations: oneOperation(row.operationId),
});

/** Each entry on a loss line with its date and reason. */
export const lossesPart = ({ listed, period }: ReportInput): ListedEntry[] =>
  listed
    .filter(({ kind }) => isLossLine(kind))
    .map((row) => entryOf(row, period.timeZone))
    .map((entry) => ({ ...entry, judgement: judgementOf(entry) }));

/** Each entry that puts an earlier period right. */
export const correctionsPart = ({ listed, period }: ReportInput): ListedEntry[] =>
  listed.filter(({ kind }) => kind === 'earlier-period').map((row) => entryOf(row, period.timeZone));
