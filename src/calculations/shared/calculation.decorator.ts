import type { Type } from '@nestjs/common';
import { HttpCode, Post, applyDecorators } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation } from '@nestjs/swagger';
import type { RequestExamples } from '../../platform/openapi/request-examples.js';
import { WithExamples } from '../../platform/openapi/request-examples.js';
import { Problems } from '../../platform/openapi/problems.decorator.js';

interface CalculationOptions {
  readonly path: string;
  readonly summary: string;
  readonly description: string;
  readonly body: Type<object>;
  readonly answer: Type<object>;
  readonly examples: RequestExamples;
}

/** Declares a route that computes and stores nothing. */
export function Calculation({
  path,
  summary,
  description,
  body,
  answer,
  examples,
}: CalculationOptions): MethodDecorator {
  return applyDecorators(
    Post(path),
    HttpCode(200),
    ApiOperation({ summary, description }),
    ApiBody({ type: body }),
    WithExamples(examples),
    ApiOkResponse({
      type: answer,
      description: 'The answer, with its method and the warnings that belong to it.',
    }),
    Problems('unit-unknown', 'scale-unknown', 'out-of-range', 'not-computable', 'readings-disagree'),
  );
}
