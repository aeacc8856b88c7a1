import { drinkByMass } from '../../../alcoholometry/liquids/drink.js';
import { originalExtract } from '../../../alcoholometry/strength/composition.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { decimalOf, Exact } from '../../../metrology/decimals.js';
import { MetrologyError } from '../../../metrology/problem.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import type { PackedStrength } from '../../../production/measuring/packed/packed-strength.js';
import { packedStrength } from '../../../production/measuring/packed/packed-strength.js';
import type { MovementRow } from '../../movements/movement.reader.js';
import type { DutyLine } from '../../duty/rules/line.js';
import { grouped } from '../../../platform/grouped.js';
import type { ReportInput } from '../sources/report-input.js';

/**
 * Original extract, °P, by the large Balling formula from the alcohol of what is packed and the real extract of the finding, as a beer tax by
 * degrees asks for it; none where the finding has no extract. Range and error: as `drinkByMass` and `originalExtract`.
 */
function originalPlatoOf({ realExtractPlato }: FindingRow, strengthPercent: number): Decimal | undefined {
  if (realExtractPlato === null) return undefined;
  try {
    const { alcoholMassFraction } = drinkByMass({ strengthPercent, extractPlato: realExtractPlato });
    return decimalOf(originalExtract(100 * alcoholMassFraction, realExtractPlato));
  } catch (error) {
    // A finding that the formula does not reach leaves the degree unknown; the release says so.
    if (error instanceof MetrologyError) return undefined;
    throw error;
  }
}

/** Goods on which duty falls, or would. */
export interface Dutiable {
  readonly id: string;
  readonly category: string;
  /** YYYY-MM-DD. */
  readonly dutyDate: string;
  readonly litres: Decimal;
  /** On the label or the papers; what the books hold where there is none. */
  readonly declaredPercent: Decimal;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
}

/** Strength of record of the goods themselves, with the finding that it rests on. */
export interface Measured extends PackedStrength {
  readonly finding: FindingRow;
}

export interface DutyLines {
  readonly lines: readonly DutyLine[];
  /** By the id of the goods. */
  readonly measuredOf: ReadonlyMap<string, Measured>;
}

export const dutiableOf = (row: MovementRow): Dutiable => ({
  id: row.id,
  category: row.category,
  dutyDate: row.dutyDate ?? '',
  litres: new Exact(row.litres),
  declaredPercent: new Exact(row.declaredStrengthPercent ?? 0),
  compositionId: row.compositionId,
  packagedLotId: row.packagedLotId,
});

/** Lines from which the duty rules calculate, each with the strength of record of the packed goods. */
export function dutyLines(
  { findings, names, settings }: Pick<ReportInput, 'findings' | 'names' | 'settings'>,
  goods: readonly Dutiable[],
): DutyLines {
  const ofRecord = new Map(
    [...grouped(findings, ({ compositionId }) => compositionId)].map(([id, own]) => [id, ofRecordOf(own)] as const),
  );
  const measuredOf = new Map<string, Measured>();
  const lines = goods.map((each): DutyLine => {
    const finding = ofRecord.get(each.compositionId ?? '');
    const packed = names.packagedLots.get(each.packagedLotId ?? '');
    const measured = finding && { finding, ...packedStrength(finding, packed?.filledWith ?? null) };
    if (measured !== undefined) {
      measuredOf.set(each.id, measured);
    }
    const originalPlato = measured && originalPlatoOf(measured.finding, measured.strengthPercent);
    return {
      id: each.id,
      category: each.category,
      dutyDate: each.dutyDate,
      litres: each.litres,
      declaredPercent: each.declaredPercent,
      ...(measured === undefined
        ? {}
        : {
            measured: {
              percent: decimalOf(measured.strengthPercent),
              expandedUncertainty: decimalOf(measured.expandedUncertainty),
            },
          }),
      ...(originalPlato === undefined ? {} : { originalPlato }),
      ...(packed === undefined ? {} : { containerL: new Exact(packed.nominalLitres) }),
      ownTolerance: new Exact(settings.labelTolerance.value),
      forDispense: packed !== undefined && packed.dispense !== null && packed.dispense !== 'none',
    };
  });
  return { lines, measuredOf };
}
