import { Injectable } from '@nestjs/common';
import type { ReturnMapping as ReturnMappingRow } from '../../../generated/prisma/client.js';
import { canonicalJson } from '../../../platform/canonical-json.js';
import { Clock } from '../../../platform/clock.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { ReportDocuments } from '../../reporting/period/report-documents.js';
import { PdfQueue } from '../../reporting/printing/pdf-queue.js';
import { tablesCsv } from '../../reporting/render/csv-table.js';
import { formatAnswer, sha256Hex } from '../../reporting/render/report-format.js';
import { toMapping } from '../mappings/return-mapping.reader.js';
import { returnDocument } from './return-document.js';
import type { ReturnPdfInput } from './return-pdf.js';
import { RETURN_PAGES } from './return-pdf.js';
import { returnTables } from './return-tables.js';
import type { ReturnFormat } from './return.dto.js';

/** Fills in a form of a period from its report, in its formats. */
@Injectable()
export class ReturnsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly documents: ReportDocuments,
    private readonly queue: PdfQueue,
  ) {}

  async return(
    ctx: RequestContext,
    periodId: string,
    mappingId: string,
    format: ReturnFormat,
  ): Promise<Answer<string | Buffer>> {
    const { producerId } = ctx;
    const { row, facts } = await this.database.read(ctx, async (tx) => ({
      row: ((await tx.row('returnMapping', { producerId, id: mappingId })) ?? notFound()) as ReturnMappingRow,
      facts: await this.documents.facts(tx, ctx, await this.documents.period(tx, ctx, periodId)),
    }));
    const made = returnDocument({
      report: facts.report,
      reportHash: sha256Hex(facts.bytes),
      mappingId,
      mappingNumber: row.number,
      mapping: toMapping(row.document),
    });
    const bytes = canonicalJson(made);
    const hash = sha256Hex(bytes);
    const name = { startsOn: facts.period.startsOn, document: 'return' };
    if (format !== 'pdf')
      return formatAnswer(hash, format, format === 'json' ? bytes : tablesCsv(returnTables(made)), name);
    const at = facts.period.closedAt ?? this.clock.now();
    const input: ReturnPdfInput = { made, hash, at };
    const { done } = this.queue.print({
      producerId,
      document: `return/${periodId}/${mappingId}`,
      version: `${hash} ${at.toISOString()}`,
      documentHash: hash,
      module: RETURN_PAGES,
      input,
    });
    const { pdf, documentHash } = await done;
    return formatAnswer(documentHash, format, pdf, name);
  }
}
