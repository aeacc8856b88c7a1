import { figureOf, figuresWire } from '../../ledger/figures/figure.js';
import { given } from '../../ledger/operations/operations.dto.js';
import { localDay } from '../../production/local-day.js';
import { oneOperation } from './links.js';
import type { Loss } from './report.dto.js';
import type { ReportInput } from './report-input.js';

/** Each entry on a loss line with its date and reason. */
export const lossesPart = ({ losses, period }: ReportInput): Loss[] =>
  losses.map((row) => ({
    line: row.kind,
    operationId: row.operationId,
    operationKind: row.operationKind,
    occurredAt: row.occurredAt.toISOString(),
    day: localDay(row.occurredAt, period.timeZone),
    category: row.category,
    ...given({ reasonCode: row.reasonCode, lotId: row.lotId, packagedLotId: row.packagedLotId }),
    ...figuresWire(figureOf(row)),
    operations: oneOperation(row.operationId),
  }));
