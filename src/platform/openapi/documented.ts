import type { Type } from '@nestjs/common';
import { applyDecorators } from '@nestjs/common';
import { ApiCreatedResponse, ApiHeader, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { ProblemCode } from '../problems/problem-codes.js';
import { IsId } from '../validation/fields.js';
import { Problems } from './problems.decorator.js';

/** The id in a path. */
export class IdParam {
  @IsId()
  id: string;
}

export interface RouteDocument {
  readonly tag: string;
  /** operationId: what the operation is called in generated clients. */
  readonly id: string;
  readonly summary: string;
  readonly description?: string;
  readonly ok?: Type<unknown>;
  readonly created?: Type<unknown>;
  readonly ifMatch?: boolean;
  /** A POST that writes and answers 200; one that answers 201 takes the key anyway. */
  readonly takesIdempotencyKey?: boolean;
  /** Problems beyond those that every route of its kind has. */
  readonly problems?: readonly ProblemCode[];
}

/** Documents a route in one place: tag, operationId, words, answer and problems. */
export function Documented(route: RouteDocument): MethodDecorator {
  const { tag, id, summary, description = `${summary}.`, ok, created, ifMatch = false, problems = [] } = route;
  const { takesIdempotencyKey = created !== undefined } = route;
  return applyDecorators(
    ApiTags(tag),
    ApiOperation({ operationId: id, summary, description }),
    ...(ok === undefined ? [] : [ApiOkResponse({ type: ok, description: summary })]),
    ...(created === undefined ? [] : [ApiCreatedResponse({ type: created, description: summary })]),
    ...(takesIdempotencyKey
      ? [
          ApiHeader({
            name: 'Idempotency-Key',
            required: false,
            description: 'The same key, route and body replay the first answer.',
            schema: { type: 'string', minLength: 1, maxLength: 255, pattern: '^[!-~]+$' },
          }),
        ]
      : []),
    ...(ifMatch
      ? [
          ApiHeader({
            name: 'If-Match',
            required: true,
            description: 'The ETag that was read.',
            schema: { type: 'string', maxLength: 200, pattern: '^[!-~]+$' },
          }),
        ]
      : []),
    Problems(...problems),
  );
}
