import { Controller, Get, Headers, Param, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsId, IsOneOf } from '../../../platform/validation/fields.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { formatOf } from '../../reporting/render/report-format.js';
import { RETURN_ADVICE } from '../rules/mapping.js';
import type { ReturnFormat } from './return.dto.js';
import { PeriodReturn, RETURN_FORMATS } from './return.dto.js';
import { ReturnsService } from './returns.service.js';

export class ReturnParam {
  @IsId({ description: 'The period.' })
  id: string;

  @IsId({ description: 'The version of the mapping.' })
  mappingId: string;
}

export class ReturnQuery {
  @Optional()
  @IsOneOf(RETURN_FORMATS, { description: 'Format of the answer; if it is absent, the Accept header decides.' })
  format?: ReturnFormat;
}

@Controller('v1/periods')
export class ReturnsController {
  constructor(private readonly returns: ReturnsService) {}

  @Get(':id/returns/:mappingId')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getPeriodReturn',
    summary: 'The lines of a form, filled in from the report of a period',
    description: `As JSON, CSV, or a PDF of one page. It also lists what no line takes, with its litres. A draft while the period is open. Once it is closed, the return is made from the frozen report: the same mapping makes the same return every time. ${RETURN_ADVICE}`,
    ok: PeriodReturn,
    alsoAs: ['text/csv', 'application/pdf'],
    problems: ['not-acceptable', 'validation-failed', 'rate-limited'],
  })
  return(
    @Current() ctx: RequestContext,
    @Param() { id, mappingId }: ReturnParam,
    @Query() { format }: ReturnQuery,
    @Headers('accept') accept: string | undefined,
  ): Promise<Answer<string | Buffer>> {
    return this.returns.return(ctx, id, mappingId, formatOf(format, accept, RETURN_FORMATS));
  }
}
