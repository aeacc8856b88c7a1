import type { Type } from '@nestjs/common';
import { applyDecorators } from '@nestjs/common';
import {
  ApiAcceptedResponse,
  ApiCreatedResponse,
  ApiExtraModels,
  ApiHeader,
  ApiOkResponse,
  ApiOperation,
  ApiTags,
  getSchemaPath,
} from '@nestjs/swagger';
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
  /** operationId: the name of the operation in generated clients. */
  readonly id: string;
  readonly summary: string;
  readonly description?: string;
  readonly ok?: Type<unknown>;
  /** Other media types of the answer. */
  readonly alsoAs?: readonly string[];
  readonly created?: Type<unknown>;
  /** The answer while it is not ready. */
  readonly accepted?: Type<unknown>;
  readonly ifMatch?: boolean;
  /** A POST that writes and answers 200; one that answers 201 takes the key anyway. */
  readonly takesIdempotencyKey?: boolean;
  /** Problems beyond those that every route of its kind has. */
  readonly problems?: readonly ProblemCode[];
}

const BINARY = { schema: { type: 'string', format: 'binary' } } as const;

function okResponse(type: Type<unknown>, description: string, alsoAs: readonly string[] = []): MethodDecorator[] {
  if (alsoAs.length === 0) {
    return [ApiOkResponse({ type, description })];
  }
  const others = Object.fromEntries(alsoAs.map((media) => [media, BINARY]));
  const content = { 'application/json': { schema: { $ref: getSchemaPath(type) } }, ...others };
  return [ApiExtraModels(type), ApiOkResponse({ description, content })];
}

/** Documents a route in one place: tag, operationId, description, answer and problems. */
export function Documented(route: RouteDocument): MethodDecorator {
  const {
    tag,
    id,
    summary,
    description = `${summary}.`,
    ok,
    alsoAs,
    created,
    accepted,
    ifMatch = false,
    problems = [],
  } = route;
  const { takesIdempotencyKey = created !== undefined } = route;
  return applyDecorators(
    ApiTags(tag),
    ApiOperation({ operationId: id, summary, description }),
    ...(ok === undefined ? [] : okResponse(ok, summary, alsoAs)),
    ...(created === undefined ? [] : [ApiCreatedResponse({ type: created, description: summary })]),
    ...(accepted === undefined ? [] : [ApiAcceptedResponse({ type: accepted, description: 'Not ready yet.' })]),
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
