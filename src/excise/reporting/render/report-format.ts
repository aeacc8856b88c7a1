import { createHash } from 'node:crypto';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';

export const REPORT_FORMATS = ['json', 'csv', 'zip', 'pdf'] as const;
export type ReportFormat = (typeof REPORT_FORMATS)[number];

const MEDIA_TYPES: Readonly<Record<ReportFormat, string>> = {
  json: 'application/json',
  csv: 'text/csv',
  zip: 'application/zip',
  pdf: 'application/pdf',
};

interface Range {
  readonly type: string;
  readonly quality: number;
}

function rangesOf(accept: string): Range[] {
  return accept.split(',').map((part) => {
    const [type, ...parameters] = part.split(';').map((each) => each.trim().toLowerCase());
    const quality = parameters.find((each) => each.startsWith('q='));
    return { type, quality: quality === undefined ? 1 : Number(quality.slice(2)) };
  });
}

/** Degree to which a range names a media type, 3 for the type itself; 0 if it does not. */
const fit = (range: string, media: string): number =>
  range === media ? 3 : range === `${media.split('/')[0]}/*` ? 2 : range === '*/*' ? 1 : 0;

function qualityOf(format: ReportFormat, ranges: readonly Range[]): number {
  const best = ranges
    .map(({ type, quality }) => ({ how: fit(type, MEDIA_TYPES[format]), quality }))
    .filter(({ how, quality }) => how > 0 && Number.isFinite(quality))
    .sort((a, b) => b.how - a.how)
    .at(0);
  return best?.quality ?? 0;
}

/**
 * Returns the requested format: `format` wins over the Accept header (RFC 9110 §12.5.1). JSON comes first among equals.
 *
 * @param given the formats of the document
 * @throws ProblemException `not-acceptable`
 */
export function formatOf<F extends ReportFormat>(
  format: F | undefined,
  accept: string | undefined,
  given: readonly F[],
): F {
  if (format !== undefined || accept === undefined || accept.trim() === '') {
    return format ?? given[0];
  }
  const ranges = rangesOf(accept);
  const [best] = given
    .map((format) => ({ format, quality: qualityOf(format, ranges) }))
    .sort((a, b) => b.quality - a.quality);
  if (best.quality > 0) {
    return best.format;
  }
  const types = given.map((format) => MEDIA_TYPES[format]);
  throw new ProblemException('not-acceptable', `It is given as ${types.join(' or ')}.`);
}

export const sha256 = (bytes: string | Buffer): Buffer => createHash('sha256').update(bytes).digest();
export const sha256Hex = (bytes: string | Buffer): string => sha256(bytes).toString('hex');

const IS_TEXT: ReadonlySet<ReportFormat> = new Set(['json', 'csv']);

/**
 * A document in one format as an answer; the headers carry the hash of what is sent, and that of the document.
 * @param documentHash SHA-256 of the document's canonical bytes, hexadecimal
 */
export function formatAnswer(
  documentHash: string,
  format: ReportFormat,
  body: string | Buffer,
  period: { startsOn: string; document?: string },
): Answer<string | Buffer> {
  const hash = sha256(body);
  return new Answer<string | Buffer>(200, body, {
    'content-type': IS_TEXT.has(format) ? `${MEDIA_TYPES[format]}; charset=utf-8` : MEDIA_TYPES[format],
    'content-digest': `sha-256=:${hash.toString('base64')}:`,
    'content-disposition': `inline; filename="${period.document ?? 'period-report'}-${period.startsOn}.${format}"`,
    'report-hash': documentHash,
    etag: `"${hash.toString('hex')}"`,
    vary: 'accept',
  });
}
