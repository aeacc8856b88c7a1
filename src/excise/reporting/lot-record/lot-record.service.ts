import { Injectable } from '@nestjs/common';
import { canonicalJson } from '../../../platform/canonical-json.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import type { PrintedDocument } from '../printing/pdf-queue.js';
import { PdfQueue } from '../printing/pdf-queue.js';
import { sha256, sha256Hex } from '../render/report-format.js';
import type { LotRecordPdfInput } from './lot-record-pdf.js';
import { LOT_RECORD_PAGES } from './lot-record-pdf.js';
import { lotRecordDocument } from './lot-record-document.js';
import { LotRecordReader } from './lot-record.reader.js';

export const RECORD_FORMATS = ['json', 'pdf'] as const;
export type RecordFormat = (typeof RECORD_FORMATS)[number];

const MEDIA_TYPES: Readonly<Record<RecordFormat, string>> = {
  json: 'application/json; charset=utf-8',
  pdf: 'application/pdf',
};

/** Gives the record of a lot at this moment: the same bytes as long as nothing is written. */
@Injectable()
export class LotRecordService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly reader: LotRecordReader,
    private readonly queue: PdfQueue,
  ) {}

  async record(ctx: RequestContext, lotId: string, format: RecordFormat): Promise<Answer<string | Buffer>> {
    const input = await this.database.read(ctx, (tx) => this.reader.input(tx, ctx, lotId));
    const record = lotRecordDocument(input);
    const bytes = canonicalJson(record);
    const documentHash = sha256Hex(bytes);
    const made =
      format === 'json'
        ? { body: bytes, documentHash }
        : asBody(await this.#pdf(ctx, { record, hash: documentHash, at: input.at }));
    const hash = sha256(made.body);
    return new Answer<string | Buffer>(200, made.body, {
      'content-type': MEDIA_TYPES[format],
      'content-digest': `sha-256=:${hash.toString('base64')}:`,
      'content-disposition': `inline; filename="lot-record-${record.lot.id}.${format}"`,
      'record-hash': made.documentHash,
      etag: `"${hash.toString('hex')}"`,
      vary: 'accept',
    });
  }

  #pdf({ producerId }: RequestContext, input: LotRecordPdfInput): Promise<PrintedDocument> {
    const document = `lot-record/${input.record.lot.id}`;
    const { hash } = input;
    const job = { producerId, document, version: hash, documentHash: hash, module: LOT_RECORD_PAGES, input };
    return this.queue.print(job).done;
  }
}

const asBody = ({ pdf, documentHash }: PrintedDocument) => ({ body: pdf, documentHash });
