import { drinkByMass } from '../../alcoholometry/drink.js';
import { originalExtract } from '../../alcoholometry/strength/composition.js';
import type { Decimal } from '../../metrology/decimals.js';
import { decimalOf, Exact } from '../../metrology/decimals.js';
import { MetrologyError } from '../../metrology/problem.js';
import type { FindingRow } from '../../production/findings/finding.reader.js';
import { ofRecordOf } from '../../production/findings/finding.reader.js';
import type { MovementRow } from '../movements/movement.reader.js';
import type { DutyLine } from '../rules/line.js';
import { grouped } from './grouped.js';
import type { ReportInput } from './report-input.js';

/**
 * Original extract, °P, of a finding by the large Balling formula from alcohol and real extract, as a beer tax by degrees asks for it; none where
 * the finding has no extract. Range and error: as `drinkByMass` and `originalExtract`.
 */
function originalPlatoOf({ strengthPercent, realExtractPlato }: FindingRow): Decimal | undefined {
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

export interface DutyLines {
  readonly lines: readonly DutyLine[];
  /** By the id of the movement. */
  readonly findingOf: ReadonlyMap<string, FindingRow>;
}

/** What the rules of duty reckon from: one line a movement, with the finding of record of what was packed. */
export function dutyLines({ findings, names }: ReportInput, movements: readonly MovementRow[]): DutyLines {
  const ofRecord = new Map(
    [...grouped(findings, ({ compositionId }) => compositionId)].map(([id, own]) => [id, ofRecordOf(own)] as const),
  );
  const findingOf = new Map<string, FindingRow>();
  const plato = new Map<string, Decimal | undefined>();
  const lines = movements.map((row): DutyLine => {
    const finding = ofRecord.get(row.compositionId);
    const packed = names.packagedLots.get(row.packagedLotId ?? '');
    if (finding !== undefined) {
      findingOf.set(row.id, finding);
      if (!plato.has(finding.id)) plato.set(finding.id, originalPlatoOf(finding));
    }
    const originalPlato = finding === undefined ? undefined : plato.get(finding.id);
    return {
      id: row.id,
      category: row.category,
      dutyDate: row.dutyDate ?? '',
      litres: new Exact(row.litres),
      declaredPercent: new Exact(row.strengthForDutyPercent ?? 0),
      ...(finding === undefined
        ? {}
        : {
            measured: {
              percent: decimalOf(finding.strengthPercent),
              expandedUncertainty: decimalOf(finding.expandedUncertainty),
            },
          }),
      ...(originalPlato === undefined ? {} : { originalPlato }),
      ...(packed === undefined ? {} : { containerL: new Exact(packed.nominalLitres) }),
      forDispense: packed !== undefined && packed.dispense !== null && packed.dispense !== 'none',
    };
  });
  return { lines, findingOf };
}
