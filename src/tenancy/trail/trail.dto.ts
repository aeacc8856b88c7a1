import { ApiProperty } from '@nestjs/swagger';
import { ListOf } from '../../platform/openapi/list-of.js';
import { Optional } from '../../platform/validation/field.js';
import {
  IsFlag,
  IsInstant,
  IsPattern,
  IsPlainText,
  IsQueryInteger,
  IsWholeNumber,
} from '../../platform/validation/fields.js';

const HASH = /^[0-9a-f]{64}$/;

export class TrailEntry {
  @IsWholeNumber({ min: 1, max: Number.MAX_SAFE_INTEGER })
  sequence: number;

  @IsWholeNumber({ min: 1, max: 100 })
  version: number;

  @IsPlainText(
    { max: 40 },
    { description: 'With microseconds, as it is hashed.', example: '2026-03-01T09:00:00.000000Z' },
  )
  recordedAt: string;

  @IsPattern(HASH, 'a SHA-256 hash', { max: 64 })
  previousHash: string;

  @IsPattern(HASH, 'a SHA-256 hash', { max: 64 }, { description: 'SHA-256 of the exact bytes of `body`.' })
  bodyHash: string;

  @IsPattern(
    HASH,
    'a SHA-256 hash',
    { max: 64 },
    {
      description: 'SHA-256 over five lines: version, sequence, recordedAt, previousHash, bodyHash.',
    },
  )
  entryHash: string;

  @ApiProperty({ type: String, description: 'Canonical JSON, as the bytes that were hashed.' })
  body: string;
}

export class TrailExportQuery {
  @Optional()
  @IsQueryInteger(
    { min: 0, max: Number.MAX_SAFE_INTEGER },
    { description: 'Only entries after this sequence: to go on from an earlier export.', example: 0 },
  )
  after?: number;
}

export class TrailPage extends ListOf(TrailEntry) {}

export class TrailFault {
  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER })
  entry: number;

  @IsPlainText({ max: 200 }, { example: 'posting 018f… line 1' })
  place: string;

  @IsPlainText({ max: 200 }, { example: 'it differs from its trail entry' })
  problem: string;

  @ApiProperty({ type: Object, additionalProperties: true })
  details: Record<string, unknown>;
}

/** The last entry: kept elsewhere, it shows later whether the end of the trail was cut or written anew. */
export class TrailHead {
  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER }, { description: 'Number of the last entry.' })
  sequence: number;

  @IsPattern(HASH, 'a SHA-256 hash', { max: 64 }, { description: 'Hash of the last entry.' })
  entryHash: string;
}

export class TrailCheck {
  @IsFlag()
  holds: boolean;

  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER })
  entries: number;

  @IsPattern(
    HASH,
    'a SHA-256 hash',
    { max: 64 },
    { description: 'Hash of the last entry; a note of it elsewhere shows a cut or rewritten tail.' },
  )
  head: string;

  @Optional()
  @IsInstant()
  lastRecordedAt?: string;

  @ApiProperty({ type: [TrailFault], description: 'What does not fit, first things first; at most 100.' })
  faults: TrailFault[];
}
