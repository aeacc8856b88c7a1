import { createHash } from 'node:crypto';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { Answer } from '../../tenancy/door/batch.js';
import type { PeriodReport } from './report.dto.js';
import { reportCsv } from './report-csv.js';

export const FACES = ['json', 'csv'] as const;
export type Face = (typeof FACES)[number];

const MEDIA_TYPES: Readonly<Record<Face, string>> = { json: 'application/json', csv: 'text/csv' };

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

/** How specifically a range names a media type; 0 if not at all. */
const fit = (range: string, media: string): number =>
  range === media ? 3 : range === `${media.split('/')[0]}/*` ? 2 : range === '*/*' ? 1 : 0;

function qualityOf(face: Face, ranges: readonly Range[]): number {
  const best = ranges
    .map(({ type, quality }) => ({ how: fit(type, MEDIA_TYPES[face]), quality }))
    .filter(({ how, quality }) => how > 0 && Number.isFinite(quality))
    .sort((a, b) => b.how - a.how)
    .at(0);
  return best?.quality ?? 0;
}

/** The face that is asked for: `format` wins over the Accept header (RFC 9110 §12.5.1). @throws ProblemException `not-acceptable` */
export function faceOf(format: Face | undefined, accept: string | undefined): Face {
  if (format !== undefined || accept === undefined || accept.trim() === '') {
    return format ?? 'json';
  }
  const ranges = rangesOf(accept);
  const [best] = FACES.map((face) => ({ face, quality: qualityOf(face, ranges) })).sort(
    (a, b) => b.quality - a.quality,
  );
  if (best.quality > 0) {
    return best.face;
  }
  throw new ProblemException('not-acceptable', `The report is given as ${Object.values(MEDIA_TYPES).join(' or ')}.`);
}

export const sha256 = (bytes: string): Buffer => createHash('sha256').update(bytes, 'utf8').digest();

/** One face of the document; the headers carry the hash of what is sent, and that of the document. */
export function faceAnswer(documentBytes: string, face: Face, period: { startsOn: string }): Answer<string> {
  const body = face === 'json' ? documentBytes : reportCsv(JSON.parse(documentBytes) as PeriodReport);
  const hash = sha256(body);
  return new Answer(200, body, {
    'content-type': `${MEDIA_TYPES[face]}; charset=utf-8`,
    'content-digest': `sha-256=:${hash.toString('base64')}:`,
    'content-disposition': `inline; filename="period-report-${period.startsOn}.${face}"`,
    'report-hash': sha256(documentBytes).toString('hex'),
    etag: `"${hash.toString('hex')}"`,
    vary: 'accept',
  });
}
