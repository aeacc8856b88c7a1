import type { ExecutionContext } from '@nestjs/common';
import { createParamDecorator } from '@nestjs/common';
import type { GuardedRequest } from './access.guard.js';
import type { RequestContext } from '../producer-database/context.js';

/** The context that the guard made of the request's key. */
export const Current = createParamDecorator((_: unknown, execution: ExecutionContext): RequestContext => {
  const { context } = execution.switchToHttp().getRequest<GuardedRequest>();
  if (context === undefined) {
    throw new Error('A route that asks for the context has to be guarded by a key.');
  }
  return context;
});
