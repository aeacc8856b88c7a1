import { SetMetadata } from '@nestjs/common';
import type { ProblemCode } from '../problems/problem-codes.js';

export const PROBLEMS_OF_ROUTE = 'gaugebook:problems';

/** Names the problems of a route beyond those that every route of its kind has; they appear in the OpenAPI document. */
export const Problems = (...codes: ProblemCode[]): MethodDecorator => SetMetadata(PROBLEMS_OF_ROUTE, codes);
