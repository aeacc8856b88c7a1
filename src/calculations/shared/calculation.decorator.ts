import type { Type } from '@nestjs/common';
import { HttpCode, Post, applyDecorators } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation } from '@nestjs/swagger';
import { Problems } from '../../platform/openapi/problems.decorator.js';

/** A request with its answer, shown in the reference and run as a test. */
export interface CalculationExample {
  readonly summary: string;
  readonly request: Readonly<Record<string, unknown>>;
  readonly response: Readonly<Record<string, unknown>>;
}

export type Examples = Readonly<Record<string, CalculationExample>>;

export interface CalculationOptions {
  readonly path: string;
  readonly summary: string;
  readonly description: string;
  readonly body: Type<object>;
  readonly answer: Type<object>;
  readonly examples: Examples;
}

const side = (examples: Examples, which: 'request' | 'response') =>
  Object.fromEntries(
    Object.entries(examples).map(([name, example]) => [name, { summary: example.summary, value: example[which] }]),
  );

/** A route that computes and keeps nothing. */
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
    ApiBody({ type: body, examples: side(examples, 'request') }),
    ApiOkResponse({
      description: 'The answer, with the method that gave it and what has to be said with it.',
      content: {
        'application/json': {
          schema: { $ref: `#/components/schemas/${answer.name}` },
          examples: side(examples, 'response'),
        },
      },
    }),
    Problems('unit-unknown', 'scale-unknown', 'out-of-range', 'not-computable', 'readings-disagree'),
  );
}
