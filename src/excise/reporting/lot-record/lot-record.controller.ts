import { Controller, Get, Headers, Param, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsOneOf } from '../../../platform/validation/fields.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { formatOf } from '../render/report-format.js';
import { LotRecord } from './lot-record.dto.js';
import type { RecordFormat } from './lot-record.service.js';
import { LotRecordService, RECORD_FORMATS } from './lot-record.service.js';

export class LotRecordQuery {
  @Optional()
  @IsOneOf(RECORD_FORMATS, { description: 'Format of the answer; if it is absent, the Accept header decides.' })
  format?: RecordFormat;
}

@Controller('v1/lots')
export class LotRecordController {
  constructor(private readonly records: LotRecordService) {}

  @Get(':id/record')
  @Access('read')
  @Documented({
    tag: 'Lots',
    id: 'getLotRecord',
    summary: 'The record of a lot, as JSON or PDF',
    description:
      'The plan against the result, readings by hand and by sensor, operations, findings with their budgets, packaging with label checks, movements, and corrections, as the books are now.',
    ok: LotRecord,
    alsoAs: ['application/pdf'],
    problems: ['not-acceptable', 'validation-failed'],
  })
  record(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Query() { format }: LotRecordQuery,
    @Headers('accept') accept: string | undefined,
  ): Promise<Answer<string | Buffer>> {
    return this.records.record(ctx, id, formatOf(format, accept, RECORD_FORMATS));
  }
}
