import { grouped } from '../../platform/grouped.js';
import { ofRecordOf } from '../../production/measuring/finding-records/finding.reader.js';
import { labelDoubt } from '../../production/measuring/packed/label-doubt.js';
import { packedStrength } from '../../production/measuring/packed/packed-strength.js';
import type { ReportInput } from '../reporting/sources/report-input.js';
import type { ClosingFacts } from './closing-check.js';

/** Packed goods in stock or moved in the period whose strength of record lies outside the tolerance of their label. */
export function labelsThatDoNotHold({ names, findings, settings }: ReportInput): ClosingFacts['labels'] {
  const byComposition = grouped(findings, ({ compositionId }) => compositionId);
  return [...names.packagedLots.values()].flatMap((row) => {
    const finding = ofRecordOf(byComposition.get(row.compositionId) ?? []);
    const doubt =
      finding && labelDoubt(packedStrength(finding, row.filledWith), Number(row.declaredStrengthPercent), settings);
    return doubt?.code === 'label-does-not-hold'
      ? [{ packagedLotId: row.id, lotMark: row.lotMark, detail: doubt.detail }]
      : [];
  });
}
