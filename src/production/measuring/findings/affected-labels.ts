import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { containersOf, litresByPackagedLot } from '../packed/doubtful-labels.reader.js';
import { labelDoubt } from '../packed/label-doubt.js';
import type { PackagedLotRow } from '../packed/packaged-lot.reader.js';
import { packedStrength } from '../packed/packed-strength.js';
import type { AffectedLabel } from './finding-remarks.dto.js';

/** Labels of packed goods that are doubtful by new findings of record of the liquids that they were filled with. */
export function affectedLabels(facts: {
  readonly packagedLots: readonly PackagedLotRow[];
  readonly findings: readonly RowOf<'finding'>[];
  readonly stock: Iterable<StockAccount>;
  readonly settings: ProducerSettings;
}): AffectedLabel[] {
  const byComposition = new Map(facts.findings.map((each) => [each.compositionId, each]));
  const litres = litresByPackagedLot(facts.stock);
  return facts.packagedLots.flatMap((row) => {
    const finding = byComposition.get(row.compositionId);
    if (finding === undefined) {
      return [];
    }
    const strength = packedStrength(
      {
        strengthPercent: Number(finding.strengthPercent),
        standardUncertainty: Number(finding.standardUncertainty),
        expandedUncertainty: Number(finding.expandedUncertainty),
        coverageFactor: Number(finding.coverageFactor),
      },
      row.filledWith,
    );
    const doubt = labelDoubt(strength, Number(row.declaredStrengthPercent), facts.settings);
    return doubt === undefined
      ? []
      : [
          {
            packagedLotId: row.id,
            lotMark: row.lotMark,
            declaredStrength: { value: Number(row.declaredStrengthPercent), unit: '%' },
            strength: { value: strength.strengthPercent, unit: '%' },
            expandedUncertainty: { value: strength.expandedUncertainty, unit: '%' },
            code: doubt.code,
            detail: doubt.detail,
            ...containersOf(row, litres.get(row.id) ?? 0),
          },
        ];
  });
}
