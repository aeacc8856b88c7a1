import { ApiProperty } from '@nestjs/swagger';
import {
  IsDateOnly,
  IsFlag,
  IsId,
  IsInstant,
  IsPattern,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';

export class ReportProducer {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;

  @IsFlag({ description: 'true: made by a simulation; none of it happened.' })
  simulated: boolean;
}

export class ReportPremises {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;
}

export class ReportPeriod {
  @IsId()
  id: string;

  @IsDateOnly()
  startsOn: string;

  @IsDateOnly()
  endsBefore: string;

  @IsInstant()
  startsAt: string;

  @IsInstant()
  endsAt: string;

  @IsPlainText({ max: 60 })
  timeZone: string;
}

export class TrailHead {
  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER })
  sequence: number;

  @IsPattern(/^[0-9a-f]{64}$/, 'a SHA-256 hash', { max: 64 })
  hash: string;
}

export class NamedVersion {
  @IsPlainText({ max: 60 })
  id: string;

  @IsPlainText({ max: 20 })
  version: string;
}

export class Versions {
  @IsPlainText({ max: 20 })
  program: string;

  @ApiProperty({ type: [NamedVersion], description: 'Methods by which strengths of the period were found.' })
  methods: NamedVersion[];

  @ApiProperty({ type: NamedVersion })
  ruleSet: NamedVersion;
}
