import { Injectable } from '@nestjs/common';
import { canonicalJson } from '../../../platform/canonical-json.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { PdfQueue } from '../printing/pdf-queue.js';
import { sha256 } from '../render/report-format.js';
import type { LotRecordPdfInput } from './lot-record-pdf.js';
import { lotRecordDocument } from './lot-record-document.js';
import { LotRecordReader } from './lot-record.reader.js';

export const RECORD_FACES = ['json', 'pdf'] as const;
export type RecordFace = (typeof RECORD_FACES)[number];

const MEDIA_TYPES: Readonly<Record<RecordFace, string>> = {
  json: 'application/json; charset=utf-8',
  pdf: 'application/pdf',
};

/** Gives the record of a lot as it stands: the same bytes as long as nothing is written. */
@Injectable()
export class LotRecordService {
  constructor(
    private readonly door: ProducerDatabase,
    private readonly reader: LotRecordReader,
    private readonly press: PdfQueue,
  ) {}

  async face(ctx: RequestContext, lotId: string, face: RecordFace): Promise<Answer<string | Buffer>> {
    const input = await this.door.read(ctx, (tx) => this.reader.input(tx, ctx, lotId));
    const record = lotRecordDocument(input);
    const bytes = canonicalJson(record);
    const recordHash = sha256(bytes).toString('hex');
    const body = face === 'json' ? bytes : await this.#pdf(ctx, { record, hash: recordHash, at: input.at });
    const hash = sha256(body);
    return new Answer<string | Buffer>(200, body, {
      'content-type': MEDIA_TYPES[face],
      'content-digest': `sha-256=:${hash.toString('base64')}:`,
      'content-disposition': `inline; filename="lot-record-${record.lot.id}.${face}"`,
      'record-hash': recordHash,
      etag: `"${hash.toString('hex')}"`,
      vary: 'accept',
    });
  }

  #pdf({ producerId }: RequestContext, input: LotRecordPdfInput): Promise<Buffer> {
    return this.press.print(`lot-record/${producerId}/${input.hash}`, { kind: 'lot-record', input }).done;
  }
}
