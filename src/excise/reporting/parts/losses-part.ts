import { pureAlcohol } from '../../../ledger/books/amount.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { CorrectedRow } from '../sources/entry.reader.js';
import type { FlowLine } from '../../../ledger/figures/flow.reader.js';
import { figureOf, toFigures } from '../../../ledger/figures/figure.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { localDay } from '../../../production/shared/local-day.js';
import { oneOperation } from './links.js';
import { judgementOf } from '../../movements/judgement.js';
import { isLossLine } from '../documents/loss-lines.js';
import type { EarlierEntry, ListedEntry } from '../documents/listed-entry.dto.js';
import type { ReportInput } from '../sources/report-input.js';

/** Strength by the books, four places; null where no litres went. */
function strengthOf(row: FlowLine): { value: number; unit: string } | null {
  const { amount } = figureOf(row);
  const percent = amount.litres.isZero() ? undefined : pureAlcohol(amount).times(100).dividedBy(amount.litres);
  return percent === undefined ? null : { value: Number(percent.toFixed(4)), unit: '%' };
}

const entryOf = (row: FlowLine, timeZone: string): ListedEntry => ({
  line: row.kind,
  operationId: row.operationId,
  operationKind: row.operationKind,
  occurredAt: row.occurredAt.toISOString(),
  recordedAt: row.recordedAt.toISOString(),
  day: localDay(row.occurredAt, timeZone),
  category: row.category,
  ...given({
    product: row.product,
    strength: strengthOf(row),
    personId: row.personId,
    investigatedBy: row.investigatedBy,
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
export function correctionsPart({ listed, period, asEntered, declared }: ReportInput): ListedEntry[] {
  const originals = new Map(asEntered.map((row) => [row.operationId, row]));
  const periods = new Map(declared.map((row) => [row.periodId, row]));
  return listed
    .filter(({ kind }) => kind === 'earlier-period')
    .map((row) => {
      const original = originals.get(row.reverses ?? row.corrects ?? '');
      const declaredIn = periods.get(row.earlierPeriodId ?? '');
      return {
        ...entryOf(row, period.timeZone),
        ...(original === undefined ? {} : { earlier: earlierOf(original) }),
        ...(declaredIn === undefined ? {} : { declaredIn: { ...declaredIn } }),
      };
    });
}

const earlierOf = ({
  operationId,
  kind,
  occurredAt,
  recordedAt,
  personId,
  litres,
  lpa,
}: CorrectedRow): EarlierEntry => ({
  operationId,
  operationKind: kind,
  occurredAt: occurredAt.toISOString(),
  recordedAt: recordedAt.toISOString(),
  ...given({ personId }),
  litres: toLitres(litres),
  litresOfPureAlcohol: toLitres(lpa),
});
