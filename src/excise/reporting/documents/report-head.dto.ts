import { ApiProperty } from '@nestjs/swagger';
import { Approval } from '../../../tenancy/premises/premises.dto.js';
import { Optional } from '../../../platform/validation/field.js';
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

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Left out where the settings do not give it, as are the next two.' })
  legalName?: string;

  @Optional()
  @IsPlainText({ max: 400, multiline: true })
  address?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  taxNumber?: string;
}

export class NamedPremises {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;
}

export class ReportPremises extends NamedPremises {
  @Optional()
  @IsPlainText({ max: 400, multiline: true }, { description: 'Left out where it is not given.' })
  address?: string;

  @ApiProperty({ type: [Approval], description: 'Those that were valid on a day of the period.' })
  approvals: Approval[];
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

  @Optional()
  @IsDateOnly({ description: 'By when the report is filed, by the calendar of the settings; left out without one.' })
  dueOn?: string;

  @Optional()
  @IsDateOnly({ description: 'By when the duty is paid, by the same calendar.' })
  payableOn?: string;

  @IsDateOnly({
    description:
      'Last day on which the records are kept at the least: the setting `retentionYears` after the last day of the period.',
  })
  keepUntil: string;
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
