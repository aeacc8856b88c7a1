import { Controller, Get, Param, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProperty, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Access } from '../access.js';
import { prefersHtml, sendHtml } from '../http/html.js';
import { IsPattern } from '../validation/fields.js';
import { isProblemCode, PROBLEM_CODES } from '../problems/problem-codes.js';
import { ProblemException } from '../problems/problem.exception.js';
import { problemEntries, problemEntry, problemListPage, problemPage } from './problem-page.js';

class ProblemCodeParams {
  @IsPattern(
    /^[a-z][a-z-]*$/,
    'a problem code',
    { max: 60 },
    { description: 'Code of the problem.', example: 'out-of-range' },
  )
  code!: string;
}

class ProblemDescription {
  @ApiProperty({ type: 'string', enum: Object.keys(PROBLEM_CODES) })
  code!: string;

  @ApiProperty({ type: 'string', maxLength: 80, pattern: '^/problems/[a-z-]+$' })
  type!: string;

  @ApiProperty({ type: 'integer', format: 'int32', minimum: 400, maximum: 599 })
  status!: number;

  @ApiProperty({ type: 'string', maxLength: 200, pattern: '^.*$' })
  title!: string;

  @ApiProperty({ type: 'string', maxLength: 1000, pattern: '^.*$', description: 'Cause of the problem.' })
  explanation!: string;

  @ApiProperty({ type: 'string', maxLength: 1000, pattern: '^.*$', description: 'Next step.' })
  remedy!: string;
}

class ProblemList {
  @ApiProperty({ type: [ProblemDescription], maxItems: 200 })
  items!: ProblemDescription[];
}

@ApiTags('Problems')
@Access('public')
@Controller('problems')
export class ProblemsController {
  @Get()
  @ApiOperation({
    summary: 'List all problems',
    description: 'Every code that a refusal can carry, as data or as a page.',
  })
  @ApiOkResponse({ type: ProblemList, description: 'The closed list of codes.' })
  listProblems(@Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    const items = problemEntries();
    if (prefersHtml(request.headers.accept)) {
      sendHtml(reply, 'Problems', problemListPage(items));
      return;
    }
    void reply.send({ items });
  }

  @Get(':code')
  @ApiOperation({ summary: 'Read one problem', description: 'Meaning and remedy of a code, as data or as a page.' })
  @ApiOkResponse({ type: ProblemDescription, description: 'The meaning of the code.' })
  getProblem(@Param() params: ProblemCodeParams, @Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    if (!isProblemCode(params.code)) {
      throw new ProblemException('not-found', 'No problem has this code.');
    }
    const entry = problemEntry(params.code);
    if (prefersHtml(request.headers.accept)) {
      sendHtml(reply, entry.title, problemPage(entry));
      return;
    }
    void reply.send(entry);
  }
}
