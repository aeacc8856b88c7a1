import { figureOf, toFigures } from '../../../ledger/figures/figure.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import { localDay } from '../../../production/shared/local-day.js';
import { grouped } from '../../../platform/grouped.js';
import { oneOperation } from './links.js';
import type { LotProduced } from '../documents/report-lots.dto.js';
import type { ReportInput } from '../sources/report-input.js';

/** Each entry on the line of what was produced, with the finding of record that declared it finished. */
export function lotsProducedPart({ listed, findings, period }: ReportInput): LotProduced[] {
  const findingsOf = grouped(findings, ({ compositionId }) => compositionId);
  return listed
    .filter(({ kind }) => kind === 'produced')
    .map((row) => {
      const own = findingsOf.get(row.compositionId ?? '') ?? [];
      const finding = own.find(({ operationId }) => operationId === row.operationId) ?? ofRecordOf(own);
      return {
        day: localDay(row.occurredAt, period.timeZone),
        occurredAt: row.occurredAt.toISOString(),
        category: row.category,
        ...given({ lotId: row.lotId, compositionId: row.compositionId, reverses: row.reverses }),
        ...(finding === undefined
          ? {}
          : {
              lotCode: finding.lotCode,
              finding: {
                id: finding.id,
                methodId: finding.methodId,
                strength: { value: finding.strengthPercent, unit: '%' },
                expandedUncertainty: { value: finding.expandedUncertainty, unit: '%' },
                sampledAt: finding.sampledAt.toISOString(),
              },
            }),
        ...toFigures(figureOf(row)),
        operationId: row.operationId,
        operations: oneOperation(row.operationId),
      };
    });
}
