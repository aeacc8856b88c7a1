import { figureOf, toFigures } from '../../../ledger/figures/figure.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { toDiscrepancy } from '../../../production/operations/receipts/receipt.mapper.js';
import { localDay } from '../../../production/shared/local-day.js';
import type { ReceivedEntry } from '../documents/received.dto.js';
import type { ReportInput } from '../sources/report-input.js';
import type { ReceivedFacts } from '../sources/received.reader.js';
import { oneOperation } from './links.js';

const documentOf = ({ documentNumber, documentDate }: ReceivedFacts): Pick<ReceivedEntry, 'document'> =>
  documentNumber === null || documentDate === null ? {} : { document: { number: documentNumber, date: documentDate } };

/** Each receipt of a material with alcohol and of drink, with who sent it and its document. */
export const receivedPart = ({ received, period }: ReportInput): ReceivedEntry[] =>
  received.map(({ entry, facts }) => ({
    line: entry.kind,
    operationId: entry.operationId,
    operationKind: entry.operationKind,
    occurredAt: entry.occurredAt.toISOString(),
    day: localDay(entry.occurredAt, period.timeZone),
    category: entry.category,
    product: facts?.product ?? '',
    dutyStatus: entry.dutyStatus,
    ...given({ supplier: facts?.supplier ?? null, reverses: entry.reverses }),
    ...(facts === undefined ? {} : documentOf(facts)),
    ...(facts?.receipt === undefined || facts.receipt === null || entry.reverses !== null
      ? {}
      : toDiscrepancy(facts.receipt)),
    ...toFigures(figureOf(entry)),
    operations: oneOperation(entry.operationId),
  }));
